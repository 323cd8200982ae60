// SPDX-License-Identifier: Apache-2.0
// A run that is told to end, and a reader of its output that leaves. Sources: the README's list of exit statuses (130 and 143, 128 +
// the signal's number as shells count it); pipe(7) for what a writer meets when nobody reads.
#include <nlohmann/json.hpp>

#include "tests/faults/faulty_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class Signals : public FaultyRun {
protected:
    /// The signal comes before each of those calls in turn; a run that is past its last breath when it comes has ended whole.
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
                EXPECT_TRUE(names_beside_output().empty() || files_below(out()) == sound()) << told;
            } else {
                EXPECT_EQ(ended.status, 4) << told;
                expect_whole(told);
            }
            fs::remove_all(out());
            expect_no_trace(told);
        }
        EXPECT_GT(ended_early, 0U);
    }
};

const InTable ending{{11,
                      {"SIGINT or SIGTERM at any stage", "sent before every reading of an input and every writing, syncing and moving of output; while a patient is synthesised",
                       "exit status 130 or 143, no error line, no output or (when it was in place already) all of it"},
                      {"Signals.end_the_run_while_it_reads", "Signals.end_the_run_while_it_writes", "BadInput.a_run_that_is_told_to_end_leaves_nothing_behind"}}};

const InTable reader_left{{12,
                           {"Whoever reads standard output has left, or standard output is closed", "a pipe without a reader; descriptors closed before the start",
                            "the report is whole, exit status as usual; where nothing can be written at all, exit status 5 and no report"},
                           {"Signals.a_reader_that_left_costs_nothing", "Signals.closed_outputs_are_not_mistaken_for_files"}}};

}  // namespace

TEST_F(Signals, end_the_run_while_it_reads) {
    expect_end_at_each("read", in(), "end", 143);
    expect_end_at_each("read", in(), "interrupt", 130);
}

TEST_F(Signals, end_the_run_while_it_writes) {
    for (const char* call : {"write", "fsync", "rename", "mkdir"}) expect_end_at_each(call, out().parent_path(), "end", 143);
}

TEST_F(Signals, a_reader_that_left_costs_nothing) {
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

TEST_F(Signals, closed_outputs_are_not_mistaken_for_files) {
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
