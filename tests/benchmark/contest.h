// SPDX-License-Identifier: Apache-2.0
#pragma once
// Contestants for the same work, run in turn, each time in a process of its own.
#include <functional>
#include <string>
#include <vector>

namespace perisclera::test {

/// Seconds, by the clock on the wall and of all processors together.
struct Time {
    double elapsed, processor;
};

struct Contestant {
    std::string name;
    std::function<void()> run;  ///< throws when it does not do what it should
    std::vector<Time> times;
};

/// Throws where the work does.
void in_own_process(const std::function<void()>& work);

/// One round more than counts, which fills the caches; `prepare` is done before each and not timed.
void run_in_turn(std::vector<Contestant>& contestants, const std::function<void()>& prepare, int rounds);

/// The last contestants, from `ours` on, are the ones compared with: medians over the rounds, as rows of a table.
std::string ratio_rows(const std::string& work, const std::vector<Contestant>& contestants, std::size_t ours);

/// Of each contestant, on standard output.
void print_times(const std::string& work, const std::vector<Contestant>& contestants);

}  // namespace perisclera::test
