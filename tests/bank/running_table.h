// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a sweep shows while it runs: a row per visit as it comes, "3 of 72  …".
#include <ostream>
#include <string_view>

namespace perisclera::bank {

class RunningTable {
public:
    RunningTable(std::ostream& shown, std::size_t rows) : shown_(shown), rows_(rows) {}
    void add(std::string_view row) { shown_ << ++row_ << " of " << rows_ << "  " << row << std::endl; }

private:
    std::ostream& shown_;
    std::size_t row_ = 0, rows_;
};

}  // namespace perisclera::bank
