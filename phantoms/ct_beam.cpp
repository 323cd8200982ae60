// SPDX-License-Identifier: Apache-2.0
#include "ct_beam.h"

#include <cmath>

#include "ct_substance.h"

namespace perisclera::phantoms {

namespace {

constexpr double lowest_kev = 20.0, step_kev = 2.0;
// Filters that bring the model to the half-value layers of CT scanners (common practice, no source): aluminium for tube, oil and window, copper for
// the scanner's flat filter. The detector's layer is the usual thickness of its kind (common practice, no source).
constexpr double aluminium_cm = 0.5, copper_cm = 0.02, scintillator_cm = 0.14;

}  // namespace

CtBeam::CtBeam(double kvp, BeamPath path) {
    const Substance aluminium = compound("Al", 2.699), copper = compound("Cu", 8.96), scintillator = compound("Gd2O2S", 7.44);
    const auto passed = [](const Substance& s, double kev, double cm) { return mass_attenuation(s, kev) * s.density_g_cm3 * cm; };
    double sum = 0.0;
    for (double kev = lowest_kev; kev < kvp; kev += step_kev) {
        const double photons = (kvp - kev) / kev;
        const double left = std::exp(-passed(aluminium, kev, aluminium_cm) - passed(copper, kev, copper_cm) - passed(substances::water(), kev, path.water_cm) -
                                     passed(substances::cortical_bone(), kev, path.bone_cm));
        const double detected = kev * (1.0 - std::exp(-passed(scintillator, kev, scintillator_cm)));
        bins_.push_back({kev, photons * left * detected});
        sum += bins_.back().weight;
    }
    for (Bin& b : bins_) b.weight /= sum;
    water_ = attenuation_per_cm(substances::water());
    air_ = attenuation_per_cm(substances::air());
}

double CtBeam::attenuation_per_cm(const Substance& substance) const {
    double mean = 0.0;
    for (const Bin& b : bins_) mean += b.weight * mass_attenuation(substance, b.kev);
    return mean * substance.density_g_cm3;
}

double CtBeam::ct_number(const Substance& substance) const { return 1000.0 * (attenuation_per_cm(substance) - water_) / (water_ - air_); }

double CtBeam::effective_kev() const {
    // Water's attenuation falls with energy throughout.
    double low = lowest_kev, high = bins_.back().kev;
    while (high - low > 0.01) {
        const double middle = 0.5 * (low + high);
        (mass_attenuation(substances::water(), middle) * substances::water().density_g_cm3 > water_ ? low : high) = middle;
    }
    return low;
}

}  // namespace perisclera::phantoms
