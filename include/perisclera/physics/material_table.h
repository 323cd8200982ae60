// SPDX-License-Identifier: Apache-2.0
#pragma once
// What each explant material is expected to show, with spread, and where each figure comes from. One version number for
// the table as a whole, written into every report.
#include <array>
#include <string_view>

#include "perisclera/core/units.h"

namespace perisclera {

enum class MaterialClass { solid_silicone, silicone_sponge, hydrogel, other };
inline constexpr std::array<MaterialClass, 4> all_material_classes{MaterialClass::solid_silicone, MaterialClass::silicone_sponge, MaterialClass::hydrogel,
                                                                   MaterialClass::other};

inline constexpr std::string_view material_table_version = "2026-11-27b";

/// A value with its spread between specimens (standard deviation).
struct Expected {
    double mean, spread;
};

/// CT number of solid silicone rubber at a tube voltage. 13 rubbers at 120 kV: mean 191, SD 45, range 112 to 271 HU; one
/// rubber from 80 to 140 kV: 261, 190, 165, 156 HU (J Digit Imaging 2020, doi 10.1007/s10278-020-00358-6). Not medical
/// grades: none measured in a patient was found.
Expected solid_silicone_hu(double kvp);

/// Relative CT number of silicone rubber against 120 kV, from the same measurements, linear in between.
double silicone_voltage_factor(double kvp);

/// CT number of silicone sponge: -737 to -265 HU over bulk densities 0.24 to 0.67 g/cm3 (calculated).
Expected sponge_hu();

/// CT number of hydrogel by water mass fraction 0.15..0.95: about 10 + 170 * polymer share, 149 HU as sold (15 % water),
/// 38 HU at 80 %, 17 HU at 95 % (calculated at 70 keV for a dry density of 1.25 g/cm3).
Expected hydrogel_hu(double water_fraction);

/// T2-weighted signal of hydrogel relative to vitreous by water fraction, for echo times near 100 ms: none at 15 % water (T2 of 1 to
/// 6 ms at 10 % water, Korean HEMA NMR study 1995), near fluid when swollen (Bhagat N et al., Br J Ophthalmol 2005;89:1380:
/// hyperintense). Between them calculated with a relaxation rate that goes with polymer over water (McConville, Polymer
/// 2000;41:9081-9088: relaxation follows water content); no figure for this material was found, hence the spread.
Expected hydrogel_t2_to_vitreous(double water_fraction);

/// T1-weighted signal of hydrogel relative to vitreous: none at 15 % water; when swollen anywhere between fluid, 1, and what relaxes as fast as soft
/// tissue, 3 to 4, since polymer shortens the T1 of water (McConville, Polymer 2000;41:9081-9088: relaxation follows water content). Saturation recovery at
/// a repetition time of 550 ms gives 0.13 of the full signal at a T1 of 4 s (vitreous) and 0.46 at 0.9 s (muscle); no figure for this material was found,
/// hence the wide spread.
Expected hydrogel_t1_to_vitreous(double water_fraction);

/// T1- or T2-weighted signal of either silicone relative to vitreous at echo times of 10 ms and more: none but blur
/// (both hypointense: Lane JI et al., RadioGraphics 2003;23:983-994; signal only at TE <= 4 ms at 1.5 T).
Expected silicone_mr_to_vitreous();

/// What imitates an explant. Soft tissue without contrast agent: some 10 to 80 HU on CT (common practice, no source). On MR by the signal equation of spin echo from T1
/// of 860 to 1580 ms and T2 of 41 to 80 ms (muscle and ciliary body; aqueous 5 s and 470 ms: Patz S et al., J Magn Reson Imaging 2007;26:510-518), at a repetition time of
/// 550 ms 2.4 to 3.8 of vitreous, at an echo time of 100 ms 0.1 to 0.35.
Expected soft_tissue_hu();
Expected soft_tissue_t1_to_vitreous();
Expected soft_tissue_t2_to_vitreous();

/// Fluid of cysts and abscesses: from water up to 30 HU; on T1 as vitreous or, with protein, brighter, on T2 as vitreous (common practice, no source).
Expected fluid_hu();
Expected fluid_t1_to_vitreous();
Expected fluid_t2_to_vitreous();

/// Wood, the lowest and highest CT number: -618 to +23 HU (Myllyla V et al., Rofo 1987;146:639-643).
std::array<double, 2> wood_hu();
/// Plastics of plates and prostheses: printed polyethylene and nylon from -115 HU (J Digit Imaging 2020, doi 10.1007/s10278-020-00358-6) to acrylic at 119 HU
/// (calculated at 70 keV).
std::array<double, 2> plastic_hu();
/// The top of the usual scale of CT, which metal and dense calcium reach (12 bits: common practice, no source).
inline constexpr double mineral_hu = 3071.0;

}  // namespace perisclera
