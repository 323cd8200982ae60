// SPDX-License-Identifier: Apache-2.0
#pragma once
// The files that are damaged one at a time, each in its series among whole neighbours, and the damages.
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace perisclera::test {

/// The files of a small patient, in memory.
struct Subject {
    std::string name;  ///< as in the table
    struct File {
        std::string name, bytes;
    };
    std::vector<File> files;
    std::vector<std::size_t> damaged;  ///< those that are damaged in turn: where there are several, in the middle and at the ends of their series
    bool stated_once = false;          ///< a whole series in one file: most of its header has no neighbour to contradict
};

std::vector<Subject> make_subjects();

/// One damage of one file: a flipped bit, or all bytes from `byte` on cut off.
struct Damage {
    std::size_t subject = 0, file = 0;
    std::uint64_t byte = 0;
    int bit = -1;  ///< none: a cut
};

/// Flip number `index` of those that `seed` gives: subjects take turns, one half hits what stands before the pixels.
Damage flip(const std::vector<Subject>& subjects, std::uint64_t seed, std::uint64_t index);
/// A cut at every 512th byte of each damaged file.
std::vector<Damage> cuts(const std::vector<Subject>& subjects);

/// The file's bytes with the damage done.
std::string damaged(const Subject& subject, const Damage& damage);

}  // namespace perisclera::test
