// SPDX-License-Identifier: Apache-2.0
// Places that output cannot go to, or that something else is at work in. Sources: the README's list of exit statuses; rename(2) for
// what happens to a folder that is there by then.
#include <sys/stat.h>

#include <cstdlib>
#include <thread>

#include "tests/faults/faulty_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class OutputPlaces : public FaultyRun {
protected:
    /// Ends the run with SIGKILL at its first look into an input: a refusal that comes earlier has another status.
    [[nodiscard]] Ended run_without_reading(const fs::path& place) const {
        return run_with_faults({"FAULT_ROOT=" + in().string(), "FAULT_CALL=read", "FAULT_AT=1", "FAULT_HOW=kill"},
                               {"identify", in().string(), "--out", place.string(), "--quiet"});
    }
};

}  // namespace

PERISCLERA_FAULT(5, OutputPlaces, a_place_that_takes_nothing_is_told_before_anything_is_read, "a place that takes no new names, a file in the place of the output or of a folder on the way",
                 "exit status 5, one line, before any input is read") {
    write_bytes(root() / "file", "mine");
    for (const fs::path& place : {fs::path("/proc/out"), fs::path("/proc/a/b/out"), root() / "file", root() / "file" / "out"}) {
        const Ended ended = run_without_reading(place);
        EXPECT_EQ(ended.status, 5) << place;
        EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_FAILED")) << ended.error_text;
    }
    EXPECT_EQ(run_without_reading(out()).status, 128 + 9) << "the fault does not work";
    EXPECT_EQ(read_bytes(root() / "file"), "mine");
}

PERISCLERA_FAULT(5, OutputPlaces, a_folder_on_another_device_is_filled_whole, "the output folder lies on another device",
                 "whole") {
    struct stat here {}, there {};
    if (::stat("/dev/shm", &there) != 0 || ::stat(root().c_str(), &here) != 0 || here.st_dev == there.st_dev) GTEST_SKIP() << "/dev/shm is no other device here";
    std::string pattern = "/dev/shm/perisclera_test_XXXXXX";
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    fs::create_directory_symlink(pattern, out());
    EXPECT_EQ(run_with_faults({}, identify()).status, 4);
    EXPECT_TRUE(files_below(pattern) == sound());
    EXPECT_TRUE(fs::is_symlink(out()));
    fs::remove_all(pattern);
}

PERISCLERA_FAULT(6, OutputPlaces, a_second_run_is_refused_and_changes_nothing, "output is there already",
                 "exit status 2, the output as it was") {
    ASSERT_EQ(run_with_faults({}, identify()).status, 4);
    const Ended again = run_with_faults({}, identify());
    EXPECT_EQ(again.status, 2);
    EXPECT_TRUE(is_one_error(again.error_text, "OUTPUT_NOT_EMPTY")) << again.error_text;
    expect_whole("a second run");
}

PERISCLERA_FAULT(6, OutputPlaces, two_runs_at_once_leave_one_whole_output, "two runs write to one place at once, with and without `--force`",
                 "one whole output, no trace of the other; without `--force` one run is refused with exit status 2") {
    for (const bool force : {false, true})
        for (int round = 0; round < 4; ++round) {
            const Words words = identify(force ? Words{"--force"} : Words{});
            Ended first, second;
            {
                const std::jthread other([&] { first = run_with_faults({}, words); });
                second = run_with_faults({}, words);
            }
            const std::string told = first.error_text + second.error_text;
            expect_whole(told);
            for (const Ended& ended : {first, second}) EXPECT_TRUE(ended.status == 4 || (!force && ended.status == 2)) << ended.status << ended.error_text;
            EXPECT_TRUE(first.status == 4 || second.status == 4) << told;
            EXPECT_TRUE(force || first.status != second.status) << "both wrote without --force";
            if (!force) std::filesystem::remove_all(out());
        }
}

PERISCLERA_FAULT(7, OutputPlaces, output_into_the_input_is_refused, "the output folder is the input folder, lies in it, or leads into it by a link",
                 "exit status 2, with `--force` as well; the input as it was") {
    const Contents before = files_below(in());
    fs::create_directory_symlink(in(), root() / "link");
    for (const fs::path& place : {in(), in() / "out", root() / "link" / "out", in() / ".." / "in"}) {
        for (const char* force : {"--quiet", "--force"}) {
            const Ended ended = run_child({PERISCLERA_PROGRAM, "identify", in().string(), "--out", place.string(), force});
            EXPECT_EQ(ended.status, 2) << place;
            EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_INSIDE_INPUT")) << ended.error_text;
        }
    }
    EXPECT_EQ(files_below(in()), before);
}

}  // namespace perisclera::test
