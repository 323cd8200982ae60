// SPDX-License-Identifier: Apache-2.0
#pragma once
// The level at which two fluids meet in a cavity: where its signal steps from one even value to another across gravity.
#include <optional>
#include <vector>

#include "cavity_samples.h"

namespace perisclera {

struct Median {
    double middle, spread;   ///< spread: robust standard deviation
};
Median median_of(std::vector<double> values);

/// What all samples of one depth show.
struct Layer {
    double depth, value;     ///< median
    double count;
};
std::vector<Layer> layers_of(const std::vector<CavitySample>& samples);

struct SeenLevel {
    double depth;
    Median above, below;
};
/// Nothing where one value or an even slope tells as much, or where the step does not lie at one depth in the middle and on all sides.
std::optional<SeenLevel> find_level(const CavitySamples& samples, const std::vector<Layer>& layers, double least_step);

}  // namespace perisclera
