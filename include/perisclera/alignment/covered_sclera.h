// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which part of one eye's sclera an element covers: columns of the polar grid, and all that lies near them, for an element dents the wall farther than it reaches itself.
#include <vector>

#include "perisclera/alignment/polar_block.h"

namespace perisclera {

class CoveredSclera {
public:
    [[nodiscard]] bool empty() const { return columns_.empty(); }
    /// The column of this cell of a PolarBlock.
    void cover(PolarCell cell) {
        const double angle = PolarBlock::clock_hours(cell.clock) * std::numbers::pi / 6.0, polar = PolarBlock::polar_radians(cell.polar);
        columns_.push_back({std::sin(polar) * std::sin(angle), std::sin(polar) * std::cos(angle), std::cos(polar)});
    }
    /// Of a direction from the globe's centre, a unit vector in the eye's frame.
    [[nodiscard]] bool holds(EyeVector direction) const {
        static const double near = std::cos(12.0 * std::numbers::pi / 180.0);   // 2.5 mm on the sclera: assumed
        for (const EyeVector& c : columns_)
            if (dot(c, direction) > near) return true;
        return false;
    }

private:
    std::vector<EyeVector> columns_;
};

}  // namespace perisclera
