// SPDX-License-Identifier: Apache-2.0
#pragma once
// The bounds that the program is held to, each with the figure that it reaches.
#include <string>

#include "bodies.h"

namespace perisclera::material_sweep {

struct Bound {
    std::string what;
    std::size_t cases;      ///< 0: nothing to judge by
    std::string figure, bound;
    bool met;
    /// "| what | n | figure | bound | met |"
    [[nodiscard]] std::string row() const;
};

/// Labels, calibration, errors, water; on all of `bodies`, from one half or both.
std::vector<Bound> bounds(const Bodies& bodies);

/// Firm hydrogel and lightly filled silicone with everything at hand.
Bodies firm_against_light(const Bodies& bodies);

}  // namespace perisclera::material_sweep
