// SPDX-License-Identifier: Apache-2.0
#pragma once
// CT numbers from composition: photoelectric and scattering cross-sections of libxrl at one energy, which stands for the beam of a tube voltage.

namespace perisclera {

/// The energy, keV, that stands for the beam of a tube voltage, kV, behind a skull.
double effective_kev(double kvp);
/// Standard uncertainty of that energy between scanners and heads, keV.
double effective_kev_spread();

/// CT numbers, HU, at one energy.
class CtNumbersAt {
public:
    explicit CtNumbersAt(double kev);
    /// Solid silicone rubber with this share of silica by mass, 0..1.
    [[nodiscard]] double silicone_rubber(double silica_share) const;
    /// Hydrogel explant with this mass fraction of tissue fluid, 0..1, and this density of the dry polymer, g/cm3.
    [[nodiscard]] double hydrogel(double water_fraction, double dry_density_g_cm3) const;

private:
    double water_, rubber_, silica_, polymer_;                           // mass attenuation, cm2/g
    double rubber_density_, silica_density_, fluid_hu_;
    [[nodiscard]] double hounsfield(double per_cm) const;
};

}  // namespace perisclera
