// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the synthesised head is made of and how each material shows: CT number by composition and tube voltage (ct_number), MR signal by
// the equations of its sequence (mr_tissue). Not shared with the estimator's tables, so that one does not confirm the other.
#include <array>
#include <cstdint>
#include <vector>

#include "scenario.h"

namespace perisclera::phantoms {

enum class Tissue : std::uint8_t {
    air, skin, fat, muscle, lid, gland, vessel, nerve, fluid, dura, cortical_bone, spongy_bone, mucosa, white, grey,
    // Look-alikes that lie still in the orbit:
    polyethylene, titanium, gold, platinum, porous_polyethylene, hydroxyapatite, wood, pus,
    // From here on what belongs to the globe or lies on it and swings with it:
    sclera, cornea, uvea, aqueous, vitreous, lens, acrylic, silicone_oil, gas,
    perfluorocarbon, haemorrhage, plaque, loaded_silicone, polypropylene, count
};
inline constexpr std::size_t tissue_count = static_cast<std::size_t>(Tissue::count);

/// A tissue, or beyond tissue_count the explants: right eye's first, then the left's.
using Label = std::uint8_t;
constexpr Label label(Tissue tissue) { return static_cast<Label>(tissue); }
constexpr bool is_metal(Tissue tissue) { return tissue == Tissue::titanium || tissue == Tissue::gold || tissue == Tissue::platinum; }

/// How every label shows in one series: HU or MR stored units (signed, fat not yet saturated), and the unevenness (standard deviation)
/// within the tissue. MR only: frequency against water, susceptibility against tissue.
struct Appearance {
    std::vector<float> value, unevenness;
    std::vector<float> shift_ppm, susceptibility_ppm;
};
Appearance appearance(const Series& series, const std::array<EyeState, 2>& eyes);

}  // namespace perisclera::phantoms
