// SPDX-License-Identifier: Apache-2.0
#pragma once
// One reading of a folder in a process of its own, as the program reads it, and what two readings have in common.
#include <filesystem>
#include <map>
#include <set>
#include <string>

namespace perisclera::test {

struct Reading {
    enum class End { finished, crashed, hung } end = End::crashed;
    long peak_kilobytes = 0;
    bool refused = false;                        ///< nothing was read
    std::set<std::string> told;                  ///< refusals, warnings, problems of series
    std::map<std::string, std::string> content;  ///< what was read, attribute by attribute and slice by slice
};

/// Longest time a reading may take and most memory it may have.
inline constexpr int most_seconds = 20;
inline constexpr long most_kilobytes = 1L << 20;

Reading read_in_child(const std::filesystem::path& folder);

/// What became of one damage.
enum class Outcome { refused, warned, same, other_voxels, stated_once, silent, crashed, hung, too_much_memory };
const char* name(Outcome outcome);

struct Judgement {
    Outcome outcome;
    std::string differs;  ///< the first attribute that was silently read otherwise
};
/// `stated_once`: differences other than of a frame against its neighbours contradict nothing.
Judgement judge(const Reading& whole, const Reading& damaged, bool stated_once);

}  // namespace perisclera::test
