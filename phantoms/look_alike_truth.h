// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is true of the look-alikes of an eye as its head holds them: how much of each there is, counted from the head itself, so that what gives way to
// a globe, an element or bone is not counted.
#include <vector>

#include "head_model.h"

namespace perisclera::phantoms {

struct LookAlikeTruth {
    LookAlike look_alike;
    double volume_mm3;        ///< of the thing itself; of what swells, how much it has grown; an empty socket has none
    double fluid_mm3 = 0.0;   ///< over a drainage plate
    double gas_mm3 = 0.0;     ///< in an abscess
    /// Of what lies on the globe: clock hours from, to, span; arc from the limbus, anterior, posterior.
    struct OnGlobe {
        std::array<double, 3> clock_hours;
        std::array<double, 2> limbus_mm;
    };
    std::optional<OnGlobe> on_globe{};
    std::optional<std::array<double, 3>> from_globe_mm{};  ///< of what lies in the orbit: its centroid from the globe's centre, left, posterior, superior
};

/// With the globes looking ahead and the patient lying supine.
std::vector<LookAlikeTruth> look_alike_truths(const std::array<EyeState, 2>& eyes, Eye eye);

/// What the vitreous cavity holds.
struct ContentsTruth {
    double cavity_mm3, contents_mm3;
};
ContentsTruth contents_truth(const std::array<EyeState, 2>& eyes, Eye eye);

}  // namespace perisclera::phantoms
