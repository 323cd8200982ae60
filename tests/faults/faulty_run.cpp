// SPDX-License-Identifier: Apache-2.0
#include "tests/faults/faulty_run.h"

#include <algorithm>
#include <regex>
#include <sstream>

#include "tests/support/dicom_slice.h"

namespace perisclera::test {

namespace fs = std::filesystem;

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

void FaultyRun::SetUp() {
    DicomSlice prototype;
    prototype.rows = prototype.columns = 16;
    fs::create_directories(in());
    write_series(in(), series_of(8, {0, 0, 0}, {0, 0, 1}, prototype));
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
