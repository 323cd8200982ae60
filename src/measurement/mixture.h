// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the layers of every thickness together say: a normal distribution of value and of contrast times thickness for each, weighted.
#include <vector>

#include "layer_fit.h"

namespace perisclera {

struct MixturePart {
    double thickness;
    double log_weight;                       ///< of its stretch of thickness
    double value, value_uncertainty;
    double mass, mass_uncertainty;           ///< contrast times thickness
};

class Mixture {
public:
    /// Precondition: not empty; thicknesses at equal ratios once ordered.
    explicit Mixture(std::vector<MixturePart> parts);
    [[nodiscard]] Spread thickness() const;
    [[nodiscard]] Spread value() const;
    [[nodiscard]] Spread mass() const;
    [[nodiscard]] std::vector<PossibleThickness> possible() const;
    /// Of thickness with value.
    [[nodiscard]] double correlation() const;

private:
    std::vector<MixturePart> parts_;         ///< by thickness
    std::vector<double> weight_;             ///< sum 1
};

}  // namespace perisclera
