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

const InTable bad_place{{5,
                         {"The output folder cannot be made: read-only place, a file in the way or on the way; or it lies on another device",
                          "a kernel's folder that takes no new names, files of that name; a link to a folder in memory",
                          "exit status 5 before any input is read; on another device the output is whole"},
                         {"OutputPlaces.a_place_that_takes_nothing_is_told_before_anything_is_read", "OutputPlaces.a_folder_on_another_device_is_filled_whole",
                          "BadInput.output_in_a_folder_without_the_right_to_write_fails", "BadInput.output_below_a_file_cannot_be_written"}}};

const InTable two_runs{{6,
                        {"Output is there already, or two runs write to one place at once", "a second run; two processes started together, with and without `--force`",
                         "refused with exit status 2 and left alone, or replaced as a whole; never a mixture"},
                        {"OutputPlaces.a_second_run_is_refused_and_changes_nothing", "OutputPlaces.two_runs_at_once_leave_one_whole_output",
                         "OutputFolderTest.a_run_that_fails_takes_nothing_from_another", "OutputFolderTest.a_folder_filled_meanwhile_is_refused"}}};

const InTable into_input{{7,
                          {"The output folder is an input folder or lies in one", "`--out` with the input folder, with a folder in it, with a link that leads into it",
                           "refused with exit status 2, inputs unchanged"},
                          {"OutputPlaces.output_into_the_input_is_refused", "BadInput.output_inside_an_input_is_wrong_usage"}}};

}  // namespace

TEST_F(OutputPlaces, a_place_that_takes_nothing_is_told_before_anything_is_read) {
    write_bytes(root() / "file", "mine");
    for (const fs::path& place : {fs::path("/proc/out"), fs::path("/proc/a/b/out"), root() / "file", root() / "file" / "out"}) {
        const Ended ended = run_without_reading(place);
        EXPECT_EQ(ended.status, 5) << place;
        EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_FAILED")) << ended.error_text;
    }
    EXPECT_EQ(run_without_reading(out()).status, 128 + 9) << "the fault does not work";
    EXPECT_EQ(read_bytes(root() / "file"), "mine");
}

TEST_F(OutputPlaces, a_folder_on_another_device_is_filled_whole) {
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

TEST_F(OutputPlaces, a_second_run_is_refused_and_changes_nothing) {
    ASSERT_EQ(run_with_faults({}, identify()).status, 4);
    const Ended again = run_with_faults({}, identify());
    EXPECT_EQ(again.status, 2);
    EXPECT_TRUE(is_one_error(again.error_text, "OUTPUT_NOT_EMPTY")) << again.error_text;
    expect_whole("a second run");
}

TEST_F(OutputPlaces, two_runs_at_once_leave_one_whole_output) {
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

TEST_F(OutputPlaces, output_into_the_input_is_refused) {
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
