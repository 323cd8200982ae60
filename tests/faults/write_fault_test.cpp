// SPDX-License-Identifier: Apache-2.0
// Whatever the system refuses while output is written, and whenever the run is killed: the output folder is as it was or holds all of
// the new output, with the exit status that goes with it. Sources: the README's list of exit statuses; write(2), fsync(2), close(2),
// rename(2) for the errors that each may tell.
#include <cerrno>

#include "tests/faults/faulty_run.h"
#include "tests/support/small_phantom.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class WriteFaults : public FaultyRun {
protected:
    [[nodiscard]] fs::path place() const { return out().parent_path(); }

    /// Fails each call of that kind in turn, until none is left to fail. Every run ends whole with 4 or without a trace with 5, and
    /// one that was told of the failure ends with 5: `must_fail` of them at least.
    void fail_each(const std::string& call, int reason, bool stays, std::size_t must_fail) const {
        const std::size_t calls = calls_of(call, place(), identify()).size();
        fs::remove_all(out());
        ASSERT_GE(calls, must_fail);
        std::size_t failed = 0;
        for (std::size_t n = 1; n <= calls + 1; ++n) {
            Words faults{"FAULT_ROOT=" + place().string(), "FAULT_CALL=" + call, "FAULT_AT=" + std::to_string(n), "FAULT_HOW=" + std::to_string(reason)};
            if (stays) faults.push_back("FAULT_STAYS=1");
            const Ended ended = run_with_faults(faults, identify());
            const std::string told = call + " " + std::to_string(n) + ": " + std::to_string(ended.status) + " " + ended.error_text;
            if (ended.status == 5) {
                ++failed;
                EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_FAILED")) << told;
                EXPECT_EQ(files_below(out()), Contents{}) << told;
                // Nothing can be removed in the name of a folder that was never made.
                expect_no_trace(told);
            } else {
                EXPECT_EQ(ended.status, 4) << told;
                expect_whole(told);
            }
            fs::remove_all(out());
        }
        EXPECT_GE(failed, must_fail);
    }
};

}  // namespace

PERISCLERA_FAULT(1, WriteFaults, a_full_disk_at_any_write_leaves_nothing, "no space at any of the writes and all that follow",
                 "exit status 5, one line, no trace") { fail_each("write", ENOSPC, true, 3); }

PERISCLERA_FAULT(1, WriteFaults, a_mask_or_surface_that_finds_no_room_leaves_nothing, "no space when an element's first mask is written, and when its surface is",
                 "exit status 5, one line, no trace") {
    const Words run{"identify", small_phantom().string(), "--out", out().string(), "--quiet"};
    fs::remove_all(out());
    const Words calls = calls_of("write", place(), run);
    fs::remove_all(out());
    for (const char* file : {"/masks/t1/R1-S1-occupancy.nii.gz", "/masks/t1/R1-S1-surface.ply"}) {
        const auto call = std::find_if(calls.begin(), calls.end(), [&](const std::string& line) { return line.find(file) != std::string::npos; });
        ASSERT_NE(call, calls.end()) << file;
        const Ended ended = run_with_faults({"FAULT_ROOT=" + place().string(), "FAULT_CALL=write", "FAULT_AT=" + std::to_string(call - calls.begin() + 1), "FAULT_HOW=" + std::to_string(ENOSPC)}, run);
        EXPECT_EQ(ended.status, 5) << file;
        EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_FAILED")) << ended.error_text;
        expect_no_trace(file);
    }
}

PERISCLERA_FAULT(2, WriteFaults, an_error_at_any_sync_leaves_nothing, "an error at any forcing to disk",
                 "exit status 5, one line, no trace") { fail_each("fsync", EIO, false, 5); }

PERISCLERA_FAULT(2, WriteFaults, an_error_at_any_close_leaves_nothing_or_all, "an error at any closing of a file",
                 "exit status 5 without a trace; whole where all was forced to disk before") { fail_each("close", EIO, false, 3); }

PERISCLERA_FAULT(2, WriteFaults, an_error_at_any_move_leaves_nothing, "an error at any move",
                 "exit status 5, one line, no trace") { fail_each("rename", EIO, false, 4); }

PERISCLERA_FAULT(2, WriteFaults, an_error_at_any_new_folder_leaves_nothing, "an error at any making of a folder",
                 "exit status 5, one line, no trace") { fail_each("mkdir", EACCES, false, 1); }

PERISCLERA_FAULT(1, WriteFaults, a_full_disk_leaves_the_earlier_output_alone, "the same at any write, sync or move over earlier output, with `--force`",
                 "exit status 5; the earlier output as it was, no stump beside it") {
    const auto lay_out = [&] {
        fs::remove_all(place());
        fs::create_directories(out() / "figures");
        write_bytes(out() / "report.json", "earlier");
        write_bytes(out() / "figures" / "mine.png", "mine");
    };
    lay_out();
    const Contents before = files_below(place());
    for (const char* call : {"write", "fsync", "rename"}) {
        const std::size_t calls = calls_of(call, place(), identify({"--force"})).size();
        for (std::size_t n = 1; n <= calls; ++n) {
            lay_out();
            const Ended ended = run_with_faults({"FAULT_ROOT=" + place().string(), std::string("FAULT_CALL=") + call, "FAULT_AT=" + std::to_string(n),
                                                 "FAULT_HOW=" + std::to_string(ENOSPC), "FAULT_STAYS=1"}, identify({"--force"}));
            EXPECT_EQ(ended.status, 5) << call << n << ended.error_text;
            EXPECT_EQ(names_beside_output(), Words{"out"}) << call << n;
            EXPECT_TRUE(files_below(place()) == before) << call << n;
        }
    }
}

PERISCLERA_FAULT(1, WriteFaults, results_that_standard_output_does_not_take_are_a_failure, "standard output leads to a full device",
                 "exit status 5, one line, no trace") {
    const auto to_full_device = [&](Words words) {
        words.insert(words.begin(), {"/bin/sh", "-c", "\"$@\" > /dev/full", "sh", PERISCLERA_PROGRAM});
        return run_child(words);
    };
    for (const Words& words : {Words{"survey", in().string()}, Words{"survey", in().string(), "--json"}, Words{"--limits"}, identify(), identify({"--json"})}) {
        const Ended ended = to_full_device(words);
        EXPECT_EQ(ended.status, 5) << words.front();
        EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_FAILED")) << ended.error_text;
        expect_no_trace(words.front());
    }
}

PERISCLERA_FAULT(3, WriteFaults, a_killed_run_leaves_nothing_or_all_and_the_next_one_clears_up, "killed before any write, sync, move or making of a folder",
                 "whole or nothing under the output's name; the next run is whole and clears away what the killed one left") {
    std::size_t calls = 0;
    for (const char* call : {"write", "fsync", "rename", "mkdir"}) {
        calls += calls_of(call, place(), identify()).size();
        fs::remove_all(out());
    }
    ASSERT_GT(calls, 10U);
    for (const char* call : {"write", "fsync", "rename", "mkdir"})
        for (std::size_t n = 1; n <= calls; ++n) {
            fs::remove_all(place());
            fs::create_directories(place());
            const Ended ended = run_with_faults({"FAULT_ROOT=" + place().string(), std::string("FAULT_CALL=") + call, "FAULT_AT=" + std::to_string(n), "FAULT_HOW=kill"},
                                                identify());
            if (ended.status == 4) break;
            const std::string told = call + std::to_string(n);
            ASSERT_EQ(ended.status, 128 + 9) << told;
            EXPECT_TRUE(!fs::exists(out()) || files_below(out()) == sound()) << told;
            // Every third time, for the sake of time, another run follows.
            if (n % 3 == 1) {
                fs::remove_all(out());
                EXPECT_EQ(run_with_faults({}, identify()).status, 4) << told;
                expect_whole(told);
            }
        }
}

PERISCLERA_FAULT(3, WriteFaults, a_killed_run_leaves_the_old_output_or_the_new_one, "killed before any sync or move over earlier output, with `--force`",
                 "all of the old output or all of the new one") {
    Contents fresh = sound();
    fresh["mine/kept.txt"] = "mine";
    int kept = 0, replaced = 0;
    for (std::size_t n = 1; n < 200; ++n) {
        fs::remove_all(place());
        fs::create_directories(out() / "mine");
        fs::create_directories(out() / "figures");
        write_bytes(out() / "mine" / "kept.txt", "mine");
        write_bytes(out() / "report.json", "earlier");
        write_bytes(out() / "report.html", "earlier");
        write_bytes(out() / "figures" / "one.png", "earlier");
        const Contents before = files_below(out());
        // The moves and syncs at the end are what matters; they are the last calls.
        const Ended ended = run_with_faults({"FAULT_ROOT=" + place().string(), "FAULT_CALL=rename", "FAULT_AT=" + std::to_string(n), "FAULT_HOW=kill"},
                                            identify({"--force"}));
        const Contents after = files_below(out());
        if (ended.status == 4) {
            fresh = after;
            EXPECT_EQ(after.at("mine/kept.txt"), "mine");
            EXPECT_EQ(after.at("report.json"), sound().at("report.json"));
            break;
        }
        ASSERT_EQ(ended.status, 128 + 9);
        EXPECT_TRUE(after == before) << "killed before move " << n;
        ++kept;
    }
    EXPECT_GT(kept, 3);
    for (std::size_t n = 1; n < 200; ++n) {
        fs::remove_all(place());
        fs::create_directories(out() / "mine");
        write_bytes(out() / "mine" / "kept.txt", "mine");
        write_bytes(out() / "report.json", "earlier");
        const Contents before = files_below(out());
        const Ended ended = run_with_faults({"FAULT_ROOT=" + place().string(), "FAULT_CALL=fsync", "FAULT_AT=" + std::to_string(n), "FAULT_HOW=kill"},
                                            identify({"--force"}));
        const Contents after = files_below(out());
        if (ended.status == 4) break;
        ASSERT_EQ(ended.status, 128 + 9);
        if (after == before) continue;
        ++replaced;
        EXPECT_EQ(after.at("mine/kept.txt"), "mine");
        for (const auto& [name, bytes] : sound()) EXPECT_TRUE(after.at(name) == bytes) << name << " after a kill before sync " << n;
    }
    EXPECT_GT(replaced, 0) << "no kill came after the exchange";
}

PERISCLERA_FAULT(4, WriteFaults, what_is_written_reaches_the_disk_before_its_name_does, "power is lost",
                 "by the log of calls: each file is forced to disk before it gets its name, each folder before it is moved, the parent folder after") {
    run_with_faults({"FAULT_ROOT=" + place().string(), "FAULT_LOG=" + log().string()}, identify());
    const std::string text = read_bytes(log());
    const auto at = [&](const std::string& line) { return text.find(line); };
    // The name of the folder aside stands in the log.
    const std::size_t made = at("mkdir ") + 6;
    const std::string aside = text.substr(made, text.find('\n', made) - made);
    const std::size_t moved = at("rename " + aside + " -> " + out().string() + "\n");
    ASSERT_NE(moved, std::string::npos) << text;
    for (const auto& [name, bytes] : sound()) {
        const std::string file = aside + "/" + name.string();
        const std::size_t synced = at("fsync " + file + ".partial\n"), named = at("rename " + file + ".partial -> " + file + "\n");
        ASSERT_NE(synced, std::string::npos) << name;
        ASSERT_NE(named, std::string::npos) << name;
        EXPECT_LT(synced, named) << name;
        const std::size_t folder_synced = text.find("fsync " + fs::path(file).parent_path().string() + "\n", named);
        ASSERT_NE(folder_synced, std::string::npos) << name;
        EXPECT_LT(folder_synced, moved) << name;
    }
    EXPECT_NE(text.find("fsync " + place().string() + "\n", moved), std::string::npos) << "the parent folder is not forced to disk after the move";
}

}  // namespace perisclera::test
