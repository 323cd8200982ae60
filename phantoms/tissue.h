// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the synthesised head is made of and how each material shows: CT number by composition and tube voltage (ct_number), MR signal by the spin-echo
// and inversion-recovery equations. Not shared with the estimator's tables, so that one does not confirm the other.
#include <array>
#include <cstdint>
#include <vector>

#include "scenario.h"

namespace perisclera::phantoms {

enum class Tissue : std::uint8_t {
    air, skin, fat, muscle, lid, gland, vessel, nerve, fluid, dura, cortical_bone, spongy_bone, mucosa, white, grey,
    sclera, cornea, uvea, aqueous, vitreous, lens, lens_implant, silicone_oil, gas, count
};
inline constexpr std::size_t tissue_count = static_cast<std::size_t>(Tissue::count);

/// A tissue, or beyond tissue_count the explants: right eye's first, then the left's.
using Label = std::uint8_t;
constexpr Label label(Tissue tissue) { return static_cast<Label>(tissue); }

/// Relaxation of a hydrogel: fast exchange between free and bound water, the bound share growing as (1 - w) / w.
struct Relaxation {
    double t1_ms, t2_ms, proton_density;
};
Relaxation hydrogel_relaxation(double water_fraction, double field_strength_tesla);

/// Signal of one acquisition, 1 for fully relaxed water at echo time 0. Spin echo; inversion recovery with magnitude display if TI is given.
double spin_echo_signal(const Relaxation& r, double repetition_ms, double echo_ms, std::optional<double> inversion_ms);

/// How every label shows in one series: HU or MR stored units, and the unevenness (standard deviation) within the tissue.
struct Appearance {
    std::vector<float> value, unevenness;
};
Appearance appearance(const Series& series, const std::array<EyeState, 2>& eyes);

}  // namespace perisclera::phantoms
