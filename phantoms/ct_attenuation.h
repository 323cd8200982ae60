// SPDX-License-Identifier: Apache-2.0
// How strongly a substance weakens X-rays of one energy, from what it is made of. Cross-sections: the library libxrl, whose values for water, PMMA
// and polyethylene agree with the public tables of NIST (a test says how well).
#pragma once

#include <string>
#include <vector>

namespace perisclera::phantoms {

struct MassShare {
    int atomic_number;
    double share;  ///< of the mass; the shares of a substance add up to 1
};

struct Substance {
    std::vector<MassShare> composition;
    double density_g_cm3;
};

/// A chemical formula such as "C5H8O2".
Substance compound(const std::string& formula, double density_g_cm3);
/// One of the reference materials of NIST's table of compositions (most of them of ICRP or ICRU), by its name there, at a density of one's own.
Substance reference_material(const std::string& name, double density_g_cm3);
/// Parts by mass, density by adding up their volumes.
Substance mixture(const Substance& first, const Substance& second, double second_mass_share);

/// Mass attenuation coefficient with coherent scattering, cm2/g.
double mass_attenuation(const Substance& substance, double kev);

}  // namespace perisclera::phantoms
