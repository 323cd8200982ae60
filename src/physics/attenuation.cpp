// SPDX-License-Identifier: Apache-2.0
#include "perisclera/physics/attenuation.h"

#include <xraylib/xraylib.h>

#include "table_rows.h"

namespace perisclera {

namespace {

constexpr double water_density = 0.998;   // at 20 degrees, as scanners are calibrated on

double mass_attenuation(const char* formula, double kev) { return CS_Total_CP(formula, kev, nullptr); }

/// Density of what `first` and `second` fill without gaps, the second with this share of the mass.
double mixed_density(double first, double second, double second_share) { return 1.0 / ((1.0 - second_share) / first + second_share / second); }

}  // namespace

double effective_kev(double kvp) { return interpolated(curve("effective_energy"), kvp) + row("effective_energy_in_heads").mean; }
double effective_kev_spread() { return row("effective_energy_in_heads").spread; }

CtNumbersAt::CtNumbersAt(double kev)
    : water_(mass_attenuation("H2O", kev)),
      rubber_(mass_attenuation("C2H6OSi", kev)),
      silica_(mass_attenuation("SiO2", kev)),
      polymer_(0.5 * mass_attenuation("C4H6O2", kev) + 0.5 * mass_attenuation("C5H8O3", kev)),
      rubber_density_(row("silicone_rubber_density").mean),
      silica_density_(row("silica_density").mean),
      fluid_hu_(row("hydrogel_fluid_hu").mean) {}

/// Air attenuates a thousandth of what water does: next to nothing.
double CtNumbersAt::hounsfield(double per_cm) const { return 1000.0 * (per_cm / (water_ * water_density) - 1.0); }

double CtNumbersAt::silicone_rubber(double silica_share) const {
    return hounsfield(mixed_density(rubber_density_, silica_density_, silica_share) * ((1.0 - silica_share) * rubber_ + silica_share * silica_));
}

double CtNumbersAt::hydrogel(double water_fraction, double dry_density) const {
    const double density = mixed_density(dry_density, water_density, water_fraction);
    const double share_of_fluid = water_fraction * density / water_density;
    return hounsfield(density * ((1.0 - water_fraction) * polymer_ + water_fraction * water_)) + share_of_fluid * fluid_hu_;
}

}  // namespace perisclera
