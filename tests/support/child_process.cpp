// SPDX-License-Identifier: Apache-2.0
#include "tests/support/child_process.h"

#include <poll.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <stdexcept>

namespace perisclera::test {

namespace {

struct Pipe {
    std::array<int, 2> ends{};
    Pipe() {
        if (::pipe(ends.data()) != 0) throw std::runtime_error("no pipe");
    }
};

[[noreturn]] void become(const std::vector<std::string>& arguments, const ChildLimits& limits, const Pipe& output, const Pipe& error) {
    ::dup2(output.ends[1], STDOUT_FILENO);
    ::dup2(error.ends[1], STDERR_FILENO);
    for (const Pipe* pipe : {&output, &error})
        for (const int end : pipe->ends) ::close(end);
    if (limits.file_bytes) {
        const rlimit limit{*limits.file_bytes, *limits.file_bytes};
        ::setrlimit(RLIMIT_FSIZE, &limit);
    }
    std::vector<char*> words;
    for (const std::string& argument : arguments) words.push_back(const_cast<char*>(argument.c_str()));
    words.push_back(nullptr);
    ::execv(words.front(), words.data());
    ::_exit(127);
}

}  // namespace

Ended run_child(const std::vector<std::string>& arguments, const ChildLimits& limits) {
    const Pipe output, error;
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("no process");
    if (child == 0) become(arguments, limits, output, error);
    ::close(output.ends[1]);
    ::close(error.ends[1]);

    Ended ended;
    bool told = false;
    std::array<pollfd, 2> open{pollfd{output.ends[0], POLLIN, 0}, pollfd{error.ends[0], POLLIN, 0}};
    const std::array<std::string*, 2> texts{&ended.output_text, &ended.error_text};
    while (open[0].fd >= 0 || open[1].fd >= 0) {
        ::poll(open.data(), open.size(), -1);
        for (std::size_t i = 0; i < open.size(); ++i) {
            if (open[i].fd < 0 || open[i].revents == 0) continue;
            std::array<char, 4096> part;
            const ssize_t got = ::read(open[i].fd, part.data(), part.size());
            if (got > 0) {
                texts[i]->append(part.data(), static_cast<std::size_t>(got));
            } else {
                ::close(open[i].fd);
                open[i].fd = -1;   // poll leaves it out
            }
        }
        if (limits.end_at_first_error_text && !told && !ended.error_text.empty()) {
            told = true;
            ::kill(child, *limits.end_at_first_error_text);
        }
    }
    int how = 0;
    ::waitpid(child, &how, 0);
    ended.status = WIFEXITED(how) ? WEXITSTATUS(how) : 128 + WTERMSIG(how);
    return ended;
}

}  // namespace perisclera::test
