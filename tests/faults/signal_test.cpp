// SPDX-License-Identifier: Apache-2.0
// A run that is told to end, and a reader of its output that leaves. Sources: the README's list of exit statuses (130 and 143, 128 +
// the signal's number as shells count it); pipe(7) for what a writer meets when nobody reads.
#include "tests/faults/faulty_run.h"
#include "tests/support/outside_tools.h"
#include "tests/support/small_phantom.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class Signals : public FaultyRun {
protected:
    /// The signal comes before each of those calls in turn; where output is already being moved into place it comes too late.
    void expect_end_at_each(const std::string& call, const fs::path& below, const std::string& how, int status) const {
        const std::size_t calls = calls_of(call, below, identify()).size();
        fs::remove_all(out());
        ASSERT_GT(calls, 0U);
        std::size_t ended_early = 0;
        for (std::size_t n = 1; n <= calls; ++n) {
            const Ended ended = run_with_faults({"FAULT_ROOT=" + below.string(), "FAULT_CALL=" + call, "FAULT_AT=" + std::to_string(n), "FAULT_HOW=" + how}, identify());
            const std::string told = call + std::to_string(n) + ": " + std::to_string(ended.status) + ended.error_text;
            if (ended.status == status) {
                ++ended_early;
                EXPECT_EQ(ended.error_text, "") << told;
                expect_no_trace(told);
            } else {
                EXPECT_EQ(ended.status, 4) << told;
                expect_whole(told);
            }
            fs::remove_all(out());
        }
        EXPECT_GT(ended_early, 0U);
    }
    /// SIGTERM after so many seconds, SIGKILL two seconds later (timeout(1)); 137 where that was needed.
    [[nodiscard]] static Ended end_after(const std::string& seconds, const Words& faults, const Words& arguments) {
        Words words{"/usr/bin/timeout", "--preserve-status", "--kill-after=2", seconds, "/usr/bin/env", "LD_PRELOAD=" FAULT_SHIM};
        words.insert(words.end(), faults.begin(), faults.end());
        words.push_back(PERISCLERA_PROGRAM);
        words.insert(words.end(), arguments.begin(), arguments.end());
        return run_child(words);
    }
};

}  // namespace

PERISCLERA_FAULT(11, Signals, end_the_run_while_it_reads, "SIGINT or SIGTERM before any reading of an input",
                 "exit status 130 or 143, no error line, no trace") {
    expect_end_at_each("read", in(), "end", 143);
    expect_end_at_each("read", in(), "interrupt", 130);
}

PERISCLERA_FAULT(11, Signals, end_the_run_while_it_writes, "SIGTERM before any write, sync, move or making of a folder of the output",
                 "exit status 143 and no trace; or, once output is being moved into place, whole with the usual exit status") {
    for (const char* call : {"write", "fsync", "rename", "mkdir"}) expect_end_at_each(call, out().parent_path(), "end", 143);
}

PERISCLERA_FAULT(11, Signals, end_the_run_within_two_seconds_whatever_it_does, "SIGTERM 0.1, 0.2, 0.4, ... seconds after the start, while a patient is synthesised, read and measured; "
                 "while a decoder waits for ever",
                 "exit status 143 within 2 seconds (else the test ends the run with SIGKILL), no trace; or whole with the usual exit status") {
    Words identify_patient{"identify", small_phantom().string(), "--out", out().string(), "--quiet", "--threads", "1"};
    write_bytes(root() / "scenario.json", R"({"seed": 1, "patient": {"id": "SIM-X", "birth_year": 1950},
                                             "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 1.0, "slice_thickness_mm": 4}]}]})");
    for (const Words& words : {identify_patient, Words{"phantom", (root() / "scenario.json").string(), "--out", out().string(), "--quiet", "--threads", "1"}}) {
        int ended_early = 0;
        for (double seconds = 0.1;; seconds *= 2) {
            const Ended ended = end_after(std::to_string(seconds), {}, words);
            if (ended.status == 0) break;
            ++ended_early;
            ASSERT_EQ(ended.status, 143) << words.front() << " after " << seconds << " seconds";
            expect_no_trace(words.front());
        }
        EXPECT_GT(ended_early, 1);
        EXPECT_EQ(names_beside_output(), Words{"out"});
        fs::remove_all(out());
    }
    for (const auto& entry : fs::directory_iterator(in())) recode_with_gdcm(entry.path(), {"--j2k"});
    const Ended ended = end_after("1", {"FAULT_DECODER=wait"}, identify());
    EXPECT_EQ(ended.status, 143) << ended.error_text;
    expect_no_trace("a decoder that waits");
}

PERISCLERA_FAULT(12, Signals, a_reader_that_left_costs_nothing, "whoever reads standard output or standard error has left",
                 "whole, the usual exit status") {
    // The pause lets the reader be gone before the first word.
    const auto without_reader = [](const std::string& outputs, Words words) {
        words.insert(words.begin(), {"/bin/bash", "-c", "{ sleep 0.2; \"$@\" " + outputs + "; } | true; exit ${PIPESTATUS[0]}", "bash", PERISCLERA_PROGRAM});
        return run_child(words);
    };
    for (const char* outputs : {"", "2>&1"}) {
        EXPECT_EQ(without_reader(outputs, {"identify", in().string(), "--out", out().string(), "--json"}).status, 4) << outputs;
        expect_whole(outputs);
        fs::remove_all(out());
        EXPECT_EQ(without_reader(outputs, {"survey", in().string()}).status, 0) << outputs;
    }
}

PERISCLERA_FAULT(12, Signals, closed_outputs_are_not_mistaken_for_files, "standard input, output or error closed before the start",
                 "nothing of theirs gets into a file; exit status 5 and no trace where standard output is closed") {
    const auto closed = [](const std::string& which, Words words) {
        words.insert(words.begin(), {"/bin/sh", "-c", "exec \"$@\" " + which, "sh", PERISCLERA_PROGRAM});
        return run_child(words);
    };
    const Contents before = files_below(in());
    EXPECT_EQ(closed("<&- 2>&-", identify()).status, 4);
    expect_whole("standard error closed");
    fs::remove_all(out());
    const Ended ended = closed("<&- >&-", identify());
    EXPECT_EQ(ended.status, 5);
    EXPECT_TRUE(is_one_error(ended.error_text, "OUTPUT_FAILED")) << ended.error_text;
    expect_no_trace("standard output closed");
    EXPECT_EQ(closed("<&- >&- 2>&-", {"survey", in().string()}).status, 5);
    EXPECT_EQ(files_below(in()), before);
}

}  // namespace perisclera::test
