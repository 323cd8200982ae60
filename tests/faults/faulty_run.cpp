// SPDX-License-Identifier: Apache-2.0
#include "tests/faults/faulty_run.h"

#include <algorithm>
#include <cstdlib>
#include <regex>
#include <sstream>

#include "tests/support/dicom_slice.h"

namespace perisclera::test {

namespace fs = std::filesystem;

CasePage case_page() {
    return {"faults.md",
            "# Faults\n\n"
            "What happens when the system around a run fails. Each row is a test of the same name in `tests/faults`, which starts the built program, with a library before\n"
            "the system's own (`shim.cpp`) where something is to fail; those of 14 and 15 call the program's own libraries. The input is a small CT or a simulated patient.\n"
            "*Whole* means the bytes of a run without faults, *no trace* that nothing is left in the folder that the output was to stand in. This page is written by\n"
            "`fault_tests --table docs/faults.md`, and a test holds it against the tests.\n",
            "fault | what happens", 24};
}

namespace {

[[maybe_unused]] const bool missing =
    list_shortfall(21, "a network receiver whose peers break off, fall silent or say nonsense: there is no receiver") &&
    list_shortfall(22, "structured reports and segmentations written and read back: none are written") &&
    list_shortfall(23, "results of an earlier version or edited ones in a comparison: a comparison is made from images alone, results are never read");

}  // namespace

Ended run_with_faults(const Words& faults, const Words& arguments, const ChildLimits& limits) {
    Words words{"/usr/bin/env", "LD_PRELOAD=" FAULT_SHIM};
    words.insert(words.end(), faults.begin(), faults.end());
    words.push_back(PERISCLERA_PROGRAM);
    words.insert(words.end(), arguments.begin(), arguments.end());
    return run_child(words, limits);
}

Contents files_below(const fs::path& folder) {
    Contents relative;
    if (fs::exists(folder))
        for (auto& [path, bytes] : contents_of(folder)) relative[fs::relative(path, folder)] = std::move(bytes);
    return relative;
}

// Filed objects say when they were made: stated, so that what two runs write can be compared to the byte.
FaultyRun::FaultyRun() { ::setenv("SOURCE_DATE_EPOCH", "1700000000", 1); }

void FaultyRun::SetUp() {
    DicomSlice prototype;
    prototype.rows = prototype.columns = 16;
    fs::create_directories(in());
    write_series(in(), series_of(6, {0, 0, 0}, {0, 0, 1}, prototype));
    fs::create_directories(out().parent_path());
    const Ended ended = run_with_faults({}, identify());
    ASSERT_EQ(ended.status, 4) << ended.error_text;
    sound_ = files_below(out());
    ASSERT_TRUE(sound_.contains("report.json"));
    fs::remove_all(out());
}

Words FaultyRun::identify(const Words& more) const {
    Words words{"identify", in().string(), "--out", out().string(), "--quiet", "--threads", "2"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

Words FaultyRun::calls_of(const std::string& call, const fs::path& below, const Words& arguments) const {
    fs::remove(log());
    run_with_faults({"FAULT_ROOT=" + below.string(), "FAULT_LOG=" + log().string()}, arguments);
    std::istringstream text(read_bytes(log()));
    Words calls;
    for (std::string line; std::getline(text, line);)
        if (line.starts_with(call + " ")) calls.push_back(line);
    fs::remove(log());
    return calls;
}

Words FaultyRun::names_beside_output() const {
    Words names;
    for (const auto& entry : fs::directory_iterator(out().parent_path())) names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

void FaultyRun::expect_no_trace(const std::string& told) const { EXPECT_EQ(names_beside_output(), Words{}) << told; }

void FaultyRun::expect_whole(const std::string& told) const {
    EXPECT_EQ(names_beside_output(), Words{"out"}) << told;
    EXPECT_TRUE(files_below(out()) == sound()) << told;
}

bool is_one_error(const std::string& error_text, const std::string& code) {
    return std::regex_match(error_text, std::regex("error\\[(?:" + code + ")\\] [^\n:]+: [^\n:]+: [^\n]+\n"));
}

}  // namespace perisclera::test
