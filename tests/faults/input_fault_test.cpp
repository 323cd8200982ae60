// SPDX-License-Identifier: Apache-2.0
// Inputs that change while they are read, and disks that give errors. Sources: read(2) for errors, short counts and interruptions;
// the README's list of exit statuses.
#include <cerrno>

#include <nlohmann/json.hpp>

#include "tests/faults/faulty_run.h"
#include "tests/support/dicom_slice.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class InputFaults : public FaultyRun {
protected:
    [[nodiscard]] Ended run_at(std::size_t n, const std::string& how, const Words& arguments) const {
        return run_with_faults({"FAULT_ROOT=" + in().string(), "FAULT_CALL=read", "FAULT_AT=" + std::to_string(n), "FAULT_HOW=" + how}, arguments);
    }
    [[nodiscard]] std::size_t reads(const Words& arguments) const {
        const std::size_t count = calls_of("read", in(), arguments).size();
        fs::remove_all(out());
        return count;
    }
    /// Is the run's result without that file, and does it say why? Either nothing is left that could be measured, or what is left
    /// is a whole stack.
    void expect_told(const Ended& ended, const std::string& code, const std::string& told) const {
        EXPECT_TRUE(ended.status == 3 || ended.status == 4) << told;
        EXPECT_NE(ended.error_text.find("[" + code + "] "), std::string::npos) << told;
        EXPECT_EQ(fs::exists(out()), ended.status == 4) << told;
    }
};

}  // namespace

PERISCLERA_FAULT(13, InputFaults, a_file_that_changes_is_refused_whenever_it_does, "a file grows, shrinks or is rewritten before any of the readings, even if its time is set back",
                 "CHANGED_WHILE_READING for that file, by size, identity and time of last change of status, never a number from two states; a change that keeps the size and falls within the few milliseconds of the file system's clock is not seen") {
    const std::size_t count = reads(identify());
    ASSERT_GE(count, 12U) << "six files are read twice";
    const Contents original = files_below(in());
    for (const char* how : {"grow", "shrink", "rewrite"})
        for (std::size_t n = 1; n <= count; ++n) {
            const Ended ended = run_at(n, how, identify());
            expect_told(ended, "CHANGED_WHILE_READING", how + (" " + std::to_string(n)) + ": " + std::to_string(ended.status) + " " + ended.error_text);
            fs::remove_all(out());
            for (const auto& [name, bytes] : original) write_bytes(in() / name, bytes);
        }
}

PERISCLERA_FAULT(20, InputFaults, a_file_with_a_read_error_is_refused_and_the_others_go_on, "EIO at any of the readings",
                 "CANNOT_READ for that file, the others go on") {
    const std::size_t count = reads(identify());
    for (std::size_t n = 1; n <= count; ++n) {
        const Ended ended = run_at(n, std::to_string(EIO), identify());
        expect_told(ended, "CANNOT_READ", std::to_string(n) + ": " + std::to_string(ended.status) + " " + ended.error_text);
        fs::remove_all(out());
    }
    const Words survey{"survey", in().string(), "--json"};
    const std::size_t looks = reads(survey);
    for (std::size_t n = 1; n <= looks; ++n) {
        const Ended ended = run_at(n, std::to_string(EIO), survey);
        const auto told = nlohmann::json::parse(ended.output_text, nullptr, false);
        ASSERT_FALSE(told.is_discarded()) << n << ended.error_text;
        EXPECT_EQ(told["images"], 5) << n << ended.output_text;
    }
}

PERISCLERA_FAULT(20, InputFaults, short_and_interrupted_reads_change_nothing, "half the bytes, or EINTR, at any of the readings; half the bytes at every reading and writing",
                 "whole") {
    const std::size_t count = reads(identify());
    for (const std::string& how : {std::string("short"), std::to_string(EINTR)})
        for (std::size_t n = 1; n <= count; ++n) {
            EXPECT_EQ(run_at(n, how, identify()).status, 4) << how << n;
            expect_whole(how + std::to_string(n));
            fs::remove_all(out());
        }
    EXPECT_EQ(run_with_faults({"FAULT_ROOT=" + in().string(), "FAULT_CALL=read", "FAULT_AT=1", "FAULT_HOW=short", "FAULT_STAYS=1"}, identify()).status, 4);
    expect_whole("every read is short");
    fs::remove_all(out());
    EXPECT_EQ(run_with_faults({"FAULT_ROOT=" + out().parent_path().string(), "FAULT_CALL=write", "FAULT_AT=1", "FAULT_HOW=short", "FAULT_STAYS=1"}, identify()).status, 4);
    expect_whole("every write is short");
}

}  // namespace perisclera::test
