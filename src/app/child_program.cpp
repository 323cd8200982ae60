// SPDX-License-Identifier: Apache-2.0
#include "child_program.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <thread>

namespace perisclera::app {

namespace {

std::vector<char*> pointers_to(std::vector<std::string>& texts) {
    std::vector<char*> out;
    for (std::string& text : texts) out.push_back(text.data());
    out.push_back(nullptr);
    return out;
}

struct Prepared {
    const char* program;
    char* const* arguments;
    char* const* environment;
    const std::vector<int>& descriptors;
    pid_t parent;
};

/// Between the fork and the other program: only what is safe while other threads of the parent may have held any lock.
[[noreturn]] void become(const Prepared& call) {
    ::setpgid(0, 0);   // signals of the terminal are for the parent, whose end ends this one
    ::prctl(PR_SET_PDEATHSIG, SIGTERM);
    if (::getppid() != call.parent) ::_exit(127);
    const struct rlimit none{0, 0}, largest{64u << 20, 64u << 20};
    ::setrlimit(RLIMIT_CORE, &none);
    ::setrlimit(RLIMIT_FSIZE, &largest);
    const int count = static_cast<int>(call.descriptors.size()), nothing = ::open("/dev/null", O_RDWR);
    // First all beyond the numbers they are to have, so that none is overwritten before it is taken.
    int moved[8];
    for (int k = 0; k < count; ++k) moved[k] = ::fcntl(call.descriptors[static_cast<std::size_t>(k)] < 0 ? nothing : call.descriptors[static_cast<std::size_t>(k)], F_DUPFD, 64);
    for (int k = 0; k < count; ++k)
        if (::dup2(moved[k], k) < 0) ::_exit(127);
    ::close_range(static_cast<unsigned>(count), ~0u, 0);
    for (const int signal : {SIGPIPE, SIGXFSZ}) ::signal(signal, SIG_DFL);
    sigset_t no_signals;
    sigemptyset(&no_signals);
    ::sigprocmask(SIG_SETMASK, &no_signals, nullptr);
    if (::chdir("/") == 0) ::execve(call.program, call.arguments, call.environment);
    ::_exit(127);
}

}  // namespace

Descriptor::~Descriptor() { close(); }

void Descriptor::close() {
    if (number_ >= 0) ::close(number_);
    number_ = -1;
}

std::optional<Descriptor> file_in_memory(const std::string& content) {
    Descriptor file(::memfd_create("perisclera", MFD_CLOEXEC));
    if (file.number() < 0) return std::nullopt;
    for (std::size_t done = 0; done < content.size();) {
        const ssize_t count = ::write(file.number(), content.data() + done, content.size() - done);
        if (count <= 0) return std::nullopt;
        done += static_cast<std::size_t>(count);
    }
    ::lseek(file.number(), 0, SEEK_SET);
    return file;
}

std::string content_of(const Descriptor& file) {
    struct stat status {};
    if (::fstat(file.number(), &status) != 0) return "";
    std::string content(static_cast<std::size_t>(status.st_size), '\0');
    for (std::size_t done = 0; done < content.size();) {
        const ssize_t count = ::pread(file.number(), content.data() + done, content.size() - done, static_cast<off_t>(done));
        if (count <= 0) return "";
        done += static_cast<std::size_t>(count);
    }
    return content;
}

std::optional<ChildProgram> ChildProgram::start(const ProgramCall& call) {
    const std::string program = call.program.string();
    std::vector<std::string> arguments = call.arguments, environment = call.environment;
    arguments.insert(arguments.begin(), program);
    const std::vector<char*> argument_pointers = pointers_to(arguments), environment_pointers = pointers_to(environment);
    const Prepared prepared{program.c_str(), argument_pointers.data(), environment_pointers.data(), call.descriptors, ::getpid()};
    const pid_t process = ::fork();
    if (process < 0) return std::nullopt;
    if (process == 0) become(prepared);
    return ChildProgram(process);
}

bool ChildProgram::wait_until(Deadline deadline) {
    constexpr std::chrono::milliseconds between_looks{5};
    while (process_ != 0) {
        const pid_t ended = ::waitpid(process_, nullptr, WNOHANG);
        if (ended == process_ || (ended < 0 && errno != EINTR)) process_ = 0;
        else if (std::chrono::steady_clock::now() >= deadline) return false;
        else std::this_thread::sleep_for(between_looks);
    }
    return true;
}

ChildProgram::~ChildProgram() {
    if (process_ == 0) return;
    const pid_t process = process_;
    ::kill(process, SIGTERM);
    if (wait_until(std::chrono::steady_clock::now() + std::chrono::seconds(1))) return;
    ::kill(-process, SIGKILL);
    ::kill(process, SIGKILL);   // where it had not come to lead a group yet
    ::waitpid(process, nullptr, 0);
}

}  // namespace perisclera::app
