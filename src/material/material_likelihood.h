// SPDX-License-Identifier: Apache-2.0
#pragma once
// How likely a reading is of a specimen of a material, and of what may be mistaken for an explant.
#include <array>
#include <optional>
#include <vector>

#include "hypotheses.h"

namespace perisclera {

bool of_ct(const Reading& reading);
bool of_mr(const Reading& reading);

/// What each specimen shows on the reading's series: its CT number, HU, or signal relative to vitreous; the reading's value does not matter. Without meaning for readings of
/// neither.
std::vector<Expected> shown(const Reading& reading, const std::vector<Possible<SiliconeGrade>>& grades);
std::vector<Expected> shown(const Reading& reading, const std::vector<Possible<SpongeDensity>>& sponges);
std::vector<Expected> shown(const Reading& reading, const std::vector<Possible<HydrogelState>>& states);

/// Of a specimen that shows what `shown` gave for it. `material` is none but an explant's.
double likelihood(const Reading& reading, MaterialClass material, Expected shown);
double likelihood(const Reading& reading, const Imitation& what);
/// Of a place about which nothing is known.
double likelihood_of_anything(const Reading& reading);

/// Central 95 % of what each material shows, by MaterialClass; nothing where the reading is none of a signal.
std::array<std::optional<std::array<double, 2>>, 4> expected_ranges(const Reading& reading);

}  // namespace perisclera
