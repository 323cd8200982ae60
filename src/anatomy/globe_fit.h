// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is known of a globe while it is being fitted to one series. Patient frame, mm.
#include <optional>

#include "layered_ball.h"
#include "perisclera/anatomy/globe.h"

namespace perisclera {

struct GlobeFit {
    PatientPoint centre;
    SmoothRadius outer;                                  ///< of the sclera
    double interior_mean, interior_spread;               ///< signal of the contents
    double contrast;                                     ///< signal that separates them from what surrounds them, > 0
    double centre_uncertainty_mm, radius_uncertainty_mm; ///< standard; the centre's component known worst
    double residual_mm;                                  ///< robust spread of the wall about the surface
    std::optional<LayeredFluids> fluids{};               ///< where the contents are two: of signals clipped as fillings
    /// Mean radius.
    [[nodiscard]] double radius_mm() const { return outer.coefficients()[0]; }
};

}  // namespace perisclera
