// SPDX-License-Identifier: Apache-2.0
#pragma once
// What each explant material is expected to show, with spread. The figures stand in src/physics/table/materials.json, each with its source and that
// source's quality; one version number for the table as a whole is written into every report.
#include <array>
#include <string_view>

#include "perisclera/core/units.h"
#include "perisclera/physics/attenuation.h"
#include "perisclera/physics/mr_signal.h"

namespace perisclera {

enum class MaterialClass { solid_silicone, silicone_sponge, hydrogel, other };
inline constexpr std::array<MaterialClass, 4> all_material_classes{MaterialClass::solid_silicone, MaterialClass::silicone_sponge, MaterialClass::hydrogel,
                                                                   MaterialClass::other};

std::string_view material_table_version();

/// A value with its spread between specimens (standard deviation).
struct Expected {
    double mean, spread;
};

/// CT number of solid silicone rubber at a tube voltage, kV, without knowing its filler.
Expected solid_silicone_hu(double kvp);
/// Relative CT number of one silicone rubber against 120 kV, as measured.
double silicone_voltage_factor(double kvp);

/// CT number of silicone sponge.
Expected sponge_hu();
/// The same as it is spread over known grades: relative frequency of a CT number, at most 1.
double sponge_frequency(double hu);
/// How likely a layer of silicone, solid or sponge, is to have this CT number before it is measured: a logarithm, but for a constant. Solid silicone about the measured rubbers, sponge within the range of foams.
double log_likely_number(bool sponge, double hu, double kvp);

/// CT number of hydrogel by its mass fraction of water 0.15..0.95, at 70 keV.
Expected hydrogel_hu(double water_fraction);
/// CT numbers of single specimens at one tube voltage, by composition. Spread: of the energy between scanners and heads.
class ByComposition {
public:
    explicit ByComposition(double kvp);
    /// The rubber that shows `hu_at_120_kvp` at 120 kV: more silica or less.
    [[nodiscard]] Expected silicone_grade(double hu_at_120_kvp) const;
    /// `dry_density`: of the polymer, g/cm3.
    [[nodiscard]] Expected hydrogel(double water_fraction, double dry_density) const;

private:
    bool at_measured_kvp_;
    CtNumbersAt measured_, here_, softer_;
};

/// Density of the dry polymer, g/cm3.
Expected hydrogel_dry_density();
/// Share of hydrogel explants that still hold little water, some decades of use considered.
double hydrogel_firm_share();

/// T2-weighted signal of hydrogel relative to vitreous by water fraction, for echo times near 100 ms.
Expected hydrogel_t2_to_vitreous(double water_fraction);

/// How strongly the polymer hastens the relaxation of its water: no figure for this material was found, so that the truth may lie anywhere between. Loose, between and as
/// measured on a gel of this kind; fast on T1 alone, less and least so on T2; and all water bound, which no swollen gel can be.
inline constexpr std::array hydrogel_bindings{0, 1, 2, 3, 4, 5};
inline constexpr int binding_as_measured = 2, all_water_bound = 5;
Relaxing hydrogel_relaxing(double water_fraction, int binding);
Relaxing vitreous_relaxing();
std::array<Relaxing, 3> soft_tissue_relaxing();

/// Signal of either silicone relative to vitreous, by the echo time, ms.
Expected silicone_mr_to_vitreous(double echo_ms);

/// What imitates an explant.
Expected soft_tissue_hu();
/// Clear fluid, fluid with protein, pus and thick pus, last to first.
struct FluidLookAlike {
    double hu;
    Relaxing relaxing;
};
std::array<FluidLookAlike, 4> fluid_look_alikes();
Relaxing silicone_oil_relaxing();
/// The lowest and highest CT number.
std::array<double, 2> wood_hu();
std::array<double, 2> plastic_hu();
double mineral_hu();

}  // namespace perisclera
