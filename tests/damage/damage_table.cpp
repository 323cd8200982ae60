// SPDX-License-Identifier: Apache-2.0
#include "tests/damage/damage_table.h"

#include <algorithm>
#include <array>
#include <map>
#include <sstream>
#include <stdexcept>

namespace perisclera::test {

namespace {

constexpr std::array all_outcomes{Outcome::refused, Outcome::warned, Outcome::same, Outcome::other_voxels, Outcome::stated_once,
                                  Outcome::silent,  Outcome::crashed, Outcome::hung, Outcome::too_much_memory};

}  // namespace

std::vector<Damage> all_damages(const std::vector<Subject>& subjects, std::uint64_t seed, std::uint64_t flips) {
    std::vector<Damage> damages;
    for (std::uint64_t i = 0; i < flips; ++i) damages.push_back(flip(subjects, seed, i));
    for (const Damage& cut : cuts(subjects)) damages.push_back(cut);
    return damages;
}

DamageRun::DamageRun(std::vector<Subject> subjects) : subjects_(std::move(subjects)) {
    for (std::size_t s = 0; s < subjects_.size(); ++s) {
        std::filesystem::create_directory(folder_of(s));
        for (const auto& file : subjects_[s].files) write_bytes(folder_of(s) / file.name, file.bytes);
        whole_.push_back(read_in_child(folder_of(s)));
        // With nothing told of the whole files, whatever is told of a damaged one is told of the damage.
        if (whole_.back().end != Reading::End::finished || whole_.back().refused || !whole_.back().told.empty())
            throw std::runtime_error("not read undamaged: " + subjects_[s].name + (whole_.back().told.empty() ? "" : ": " + *whole_.back().told.begin()));
    }
}

Reading DamageRun::reading(const Damage& damage) const {
    const Subject& subject = subjects_[damage.subject];
    const auto file = folder_of(damage.subject) / subject.files[damage.file].name;
    write_bytes(file, damaged(subject, damage));
    Reading reading = read_in_child(folder_of(damage.subject));
    write_bytes(file, subject.files[damage.file].bytes);
    return reading;
}

Result DamageRun::result(std::uint64_t index, const Damage& damage) const {
    const Reading read = reading(damage);
    return {index, damage, judge(whole_[damage.subject], read, subjects_[damage.subject].stated_once), read.peak_kilobytes};
}

std::string to_line(const Result& result) {
    const Damage& d = result.damage;
    std::ostringstream line;
    line << result.index << ' ' << d.subject << ' ' << d.file << ' ' << d.byte << ' ' << d.bit << ' ' << name(result.judgement.outcome) << ' ' << result.peak_kilobytes << ' '
         << result.judgement.differs << '\n';
    return line.str();
}

std::vector<Result> read_results(const std::filesystem::path& file) {
    std::vector<Result> results;
    if (!std::filesystem::exists(file)) return results;
    std::istringstream lines(read_bytes(file));
    for (std::string line; std::getline(lines, line) && !lines.eof();) {
        std::istringstream words(line);
        Result result;
        std::string outcome;
        words >> result.index >> result.damage.subject >> result.damage.file >> result.damage.byte >> result.damage.bit >> outcome >> result.peak_kilobytes;
        words.get();
        std::getline(words, result.judgement.differs);
        for (const Outcome known : all_outcomes)
            if (outcome == name(known)) result.judgement.outcome = known;
        results.push_back(std::move(result));
    }
    return results;
}

std::string damage_table(const std::vector<Subject>& subjects, const std::vector<Result>& results, std::uint64_t seed, std::uint64_t flips) {
    std::map<std::pair<bool, std::size_t>, std::map<Outcome, int>> counts;
    long peak = 0;
    for (const Result& result : results) {
        ++counts[{result.damage.bit < 0, result.damage.subject}][result.judgement.outcome];
        peak = std::max(peak, result.peak_kilobytes);
    }
    std::ostringstream text;
    text << "# Damaged files\n\n"
            "Made by `bash tests/damage.sh` (seed " << seed << ", " << flips << " flips); not edited by hand. One file at a time has one bit flipped, or is cut off at a\n"
            "multiple of 512 bytes, and is read among the whole files of its series: the middle one, the first or the last. Half of the flips hit what stands\n"
            "before the pixels. Images are 24 x 32 pixels of 12 bits, so that what stands before the pixels is about half of a file.\n\n"
            "- **refused**: nothing is read; one line says why.\n"
            "- **warned**: read, perhaps without the damaged file, with a warning or a problem of the series that the whole files do not give.\n"
            "- **same**: every voxel, the geometry, and everything else that is known of each series are as before.\n"
            "- **pixel value**: silently another value of a pixel, which nothing contradicts.\n"
            "- **stated once**: silently another value of an attribute that stands only once in a series held by one file.\n"
            "- **silent**: silently other, though other files or frames contradict it. To be none.\n\n"
            "| damage | file | refused | warned | same | pixel value | stated once | silent | crashed | over 20 s | over 1 GB |\n"
            "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
    for (const bool cut : {false, true}) {
        std::map<Outcome, int> sums;
        const auto row = [&](const std::string& file, std::map<Outcome, int>& counted) {
            text << "| " << (cut ? "cut" : "flip") << " | " << file << " |";
            for (const Outcome outcome : all_outcomes) text << ' ' << counted[outcome] << " |";
            text << '\n';
        };
        for (std::size_t s = 0; s < subjects.size(); ++s) {
            auto& counted = counts[{cut, s}];
            for (const auto& [outcome, count] : counted) sums[outcome] += count;
            row(subjects[s].name, counted);
        }
        row("**all**", sums);
    }
    text << "\nMost memory of any reading: " << (peak + 1023) / 1024 << " MB.\n";
    return text.str();
}

}  // namespace perisclera::test
