// SPDX-License-Identifier: Apache-2.0
#pragma once
// Many damages, one after another, and the table of what became of them.
#include <cstdint>
#include <string>
#include <vector>

#include "tests/damage/reading.h"
#include "tests/damage/subject.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

struct Result {
    std::uint64_t index = 0;
    Damage damage;
    Judgement judgement{Outcome::same, ""};
    long peak_kilobytes = 0;
};

/// The flips, then the cuts.
std::vector<Damage> all_damages(const std::vector<Subject>& subjects, std::uint64_t seed, std::uint64_t flips);

/// Keeps each subject in a folder of its own, whole but for one file at a time.
class DamageRun {
public:
    explicit DamageRun(std::vector<Subject> subjects);
    [[nodiscard]] const std::vector<Subject>& subjects() const { return subjects_; }
    [[nodiscard]] const Reading& whole(std::size_t subject) const { return whole_[subject]; }
    [[nodiscard]] Reading reading(const Damage& damage) const;
    [[nodiscard]] Result result(std::uint64_t index, const Damage& damage) const;

private:
    [[nodiscard]] std::filesystem::path folder_of(std::size_t subject) const { return folder_.path() / std::to_string(subject); }
    std::vector<Subject> subjects_;
    std::vector<Reading> whole_;
    TestFolder folder_;
};

std::string to_line(const Result& result);
/// The whole lines of a file that may not be there.
std::vector<Result> read_results(const std::filesystem::path& file);

std::string damage_table(const std::vector<Subject>& subjects, const std::vector<Result>& results, std::uint64_t seed, std::uint64_t flips);

}  // namespace perisclera::test
