// SPDX-License-Identifier: Apache-2.0
#pragma once
// docs/globes.md from the rows of a sweep.
#include <cstdint>
#include <string>
#include <vector>

#include "globe_comparison.h"
#include "strata.h"

namespace perisclera::globes {

/// One eye in one series.
struct GlobeRow {
    int patient;
    std::size_t series;   ///< its place in the scenario
    Eye eye;
    std::vector<Stratum> strata;   ///< of an eye without a globe too
    double held;                   ///< share of the globe within the images; 0 where there is none
    Sighting sighting;
    std::optional<double> off_mm;        ///< distance of the centre told from the true one, where there are both
    std::optional<GlobeErrors> errors;   ///< where it was found
};

/// Eyes of which the images hold less are shown apart: no target speaks of them.
inline constexpr double enough_held = 0.7;

/// As the running table shows it.
std::string row_of(const GlobeRow& row);

struct SweepExtent {
    std::uint64_t seed;
    std::size_t patients;
};
std::string globes_document(const std::vector<GlobeRow>& rows, const SweepExtent& extent);

}  // namespace perisclera::globes
