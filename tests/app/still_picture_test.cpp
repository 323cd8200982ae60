// SPDX-License-Identifier: Apache-2.0
// The still picture of an eye in space as part of a report: there where it can be drawn, and where not the report is complete without.
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <thread>

#include <gtest/gtest.h>

#include "tests/support/child_process.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;
using Contents = std::map<fs::path, std::string>;

const fs::path picture_name = fs::path("figures") / "space-right-t1.png";

class StillPicture : public ::testing::Test {
protected:
    void SetUp() override { ASSERT_EQ(::prctl(PR_SET_CHILD_SUBREAPER, 1), 0); }
    /// A copy of the program in a folder of its own, with this beside it in place of the one that draws.
    fs::path program_beside(const std::string& shell_words) const {
        fs::create_directories(folder_.path() / "bin");
        fs::copy_file(PERISCLERA_PROGRAM, folder_.path() / "bin" / "perisclera", fs::copy_options::skip_existing);
        const fs::path stand_in = folder_.path() / "bin" / "perisclera-scene";
        write_bytes(stand_in, "#!/bin/sh\n" + shell_words + "\n");
        fs::permissions(stand_in, fs::perms::owner_all);
        return folder_.path() / "bin" / "perisclera";
    }
    Contents report_of(const fs::path& program, const std::string& out) const {
        const Ended ended = run_child({program, "identify", small_phantom(), "--out", folder_.path() / out, "--quiet"});
        EXPECT_EQ(ended.status, 0) << ended.error_text;
        EXPECT_EQ(ended.error_text, "");
        EXPECT_EQ(::waitpid(-1, nullptr, WNOHANG), -1) << "a process is left";
        Contents all;
        for (auto& [path, bytes] : contents_of(folder_.path() / out)) all[path.lexically_relative(folder_.path() / out)] = bytes;
        return all;
    }
    TestFolder folder_;
};

}  // namespace

TEST_F(StillPicture, is_drawn_alike_each_time_and_shown_on_the_page) {
    const Contents once = report_of(PERISCLERA_PROGRAM, "once"), again = report_of(PERISCLERA_PROGRAM, "again");
    ASSERT_TRUE(once.contains(picture_name));
    for (const char* name : {"report.html", "report.pdf", "report.json"}) EXPECT_EQ(once.at(name), again.at(name)) << name;
    EXPECT_EQ(once.at(picture_name), again.at(picture_name));
    EXPECT_NE(once.at("report.html").find("class=\"still\""), std::string::npos);
}

TEST_F(StillPicture, without_it_the_report_is_complete_and_says_the_same_to_programs) {
    const Contents with = report_of(PERISCLERA_PROGRAM, "with");
    Contents without = report_of(program_beside("kill -9 $$"), "killed");
    EXPECT_FALSE(without.contains(picture_name));
    EXPECT_EQ(without.at("report.html").find("class=\"still\""), std::string::npos);
    const std::string path = std::getenv("PATH");
    ::setenv("PATH", "/nonexistent", 1);
    const Contents without_display = report_of(PERISCLERA_PROGRAM, "blind");
    ::setenv("PATH", path.c_str(), 1);
    for (const auto& [name, bytes] : without) {
        ASSERT_TRUE(with.contains(name)) << name;
        ASSERT_TRUE(without_display.contains(name)) << name;
        // Page and PDF hold the picture; what is filed tells its time.
        if (name == "report.json" || name == "fhir.json" || name.parent_path() == "figures") {
            EXPECT_EQ(with.at(name), bytes) << name;
        }
        if (name.extension() != ".dcm") {
            EXPECT_EQ(without_display.at(name), bytes) << name;
        }
    }
    EXPECT_EQ(with.size(), without.size() + 1);
    EXPECT_EQ(without_display.size(), without.size());
}

TEST_F(StillPicture, what_draws_does_not_outlive_a_program_that_is_ended) {
    for (const int signal : {SIGKILL, SIGTERM}) {
        const fs::path begun = folder_.path() / "begun";
        fs::remove(begun);
        const fs::path images = small_phantom(), program = program_beside("touch '" + begun.string() + "'; exec sleep 600");
        const pid_t process = ::fork();
        ASSERT_GE(process, 0);
        if (process == 0) {
            ::execl(program.c_str(), program.c_str(), "identify", images.c_str(), "--out", (folder_.path() / "out").c_str(), "--quiet", nullptr);
            ::_exit(127);
        }
        while (!fs::exists(begun) && ::kill(process, 0) == 0 && ::waitpid(process, nullptr, WNOHANG) == 0) std::this_thread::sleep_for(std::chrono::milliseconds(10));
        ASSERT_TRUE(fs::exists(begun));
        ::kill(process, signal);
        // All of them come to this process in the end, the drawing program and its display as orphans; sleep would last for ten minutes.
        int ended = 0;
        while (::waitpid(-1, nullptr, 0) > 0) ++ended;
        EXPECT_EQ(errno, ECHILD);
        EXPECT_GE(ended, 3) << "the program, its display, what draws";
    }
}

}  // namespace perisclera::test
