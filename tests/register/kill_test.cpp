// SPDX-License-Identifier: Apache-2.0
// Two writers at once, killed at random moments: whatever either acknowledged is in the register, which another reader (Python's sqlite3) finds whole.
// PERISCLERA_KILLS says how many kills; the test alone does 40.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

/// A writer whose lines go to a file of their own: what is written there before the kill was acknowledged.
class Writer {
public:
    Writer(std::filesystem::path file, std::filesystem::path lines, int first) : file_(std::move(file)), lines_(std::move(lines)), first_(first) { start(); }
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;
    ~Writer() { end(); }
    /// The next begins with other patients.
    void kill_and_start_again() {
        end();
        first_ += 1000;
        start();
    }
    void end() {
        if (child_ <= 0) return;
        ::kill(child_, SIGKILL);
        int how = 0;
        ::waitpid(child_, &how, 0);
        EXPECT_TRUE(WIFSIGNALED(how)) << "a writer ended by itself with " << WEXITSTATUS(how);
        child_ = -1;
    }
    [[nodiscard]] std::set<std::string> acknowledged() const {
        std::istringstream text(read_bytes(lines_));
        std::set<std::string> keys;
        for (std::string line; std::getline(text, line);)
            if (line.size() == 17) keys.insert(line);   // less than a whole line is no acknowledgement
        return keys;
    }

private:
    void start() {
        child_ = ::fork();
        if (child_ != 0) return;
        const int lines = ::open(lines_.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
        ::dup2(lines, STDOUT_FILENO);
        ::execl(REGISTER_WRITER, REGISTER_WRITER, file_.c_str(), std::to_string(first_).c_str(), nullptr);
        ::_exit(127);
    }
    std::filesystem::path file_, lines_;
    int first_;
    pid_t child_ = -1;
};

std::set<std::string> keys_by_python(const std::filesystem::path& file) {
    const Ended ended = run_child({"/usr/bin/python3", "-c",
                                   "import sqlite3, sys\n"
                                   "c = sqlite3.connect(sys.argv[1], timeout=60)\n"
                                   "assert c.execute('PRAGMA integrity_check').fetchall() == [('ok',)]\n"
                                   "assert c.execute('PRAGMA foreign_key_check').fetchall() == []\n"
                                   "for key, in c.execute(\"SELECT key FROM patient JOIN result ON result.patient = id JOIN series ON series.patient = id WHERE reviewed_by = 'writer'\"): print(key)",
                                   file.string()});
    EXPECT_EQ(ended.status, 0) << ended.error_text;
    std::istringstream text(ended.output_text);
    std::set<std::string> keys;
    for (std::string line; std::getline(text, line);) keys.insert(line);
    return keys;
}

}  // namespace

TEST(TwoWriters, lose_nothing_that_was_acknowledged_when_they_are_killed) {
    const char* const wanted = std::getenv("PERISCLERA_KILLS");
    const int kills = wanted ? std::atoi(wanted) : 40;
    const TestFolder folder;
    const auto file = folder.path() / "register";
    std::mt19937 drawn(20);
    std::set<std::string> acknowledged;
    {
        std::array<Writer, 2> writers{Writer(file, folder.path() / "one", 0), Writer(file, folder.path() / "two", 1'000'000)};
        for (int k = 0; k < kills; ++k) {
            std::this_thread::sleep_for(std::chrono::microseconds(drawn() % 150'000));
            writers[drawn() % 2].kill_and_start_again();
            if (k % 20 == 19) {   // in between as well, while both write
                acknowledged = writers[0].acknowledged();
                acknowledged.merge(writers[1].acknowledged());
                const std::set<std::string> kept = keys_by_python(file);
                for (const std::string& key : acknowledged) EXPECT_TRUE(kept.contains(key)) << key << " was lost by kill " << k;
            }
        }
        for (Writer& writer : writers) writer.end();
        acknowledged = writers[0].acknowledged();
        acknowledged.merge(writers[1].acknowledged());
    }
    const std::set<std::string> kept = keys_by_python(file);
    for (const std::string& key : acknowledged) EXPECT_TRUE(kept.contains(key)) << key;
    EXPECT_GT(acknowledged.size(), static_cast<std::size_t>(kills) / 2) << "hardly anything was written, so hardly anything could be lost";
    std::printf("%d kills, %zu acknowledged, %zu in the register\n", kills, acknowledged.size(), kept.size());
}

}  // namespace perisclera::test
