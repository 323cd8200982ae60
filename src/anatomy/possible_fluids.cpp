// SPDX-License-Identifier: Apache-2.0
// What a signal within a globe may be. Rows are those of the project's table of reference values.
#include <cmath>

#include "perisclera/anatomy/globe_contents.h"

namespace perisclera {

namespace {

using enum Fluid;

/// Globes measure 21 to 27 mm across (250 adults: Bekerman I et al., J Ophthalmol 2014:503645), and before what fills them lies the anterior chamber, 3 mm deep
/// (textbook). A smaller ball may be a shrunken eye, filled with scar; one without a chamber an implant: acrylic glass shows 119 HU at 70 keV (row 2.20), as oil does.
bool is_plainly_a_globe(const CavityView& view) {
    // Blur alone, where a dense ball meets fat, passes through watery numbers over 1.75 mm in slices of 1.5 mm (simulated).
    constexpr double smallest_globe_mm = 10.5, shallowest_chamber_mm = 2.0;
    return view.outer_radius_mm >= smallest_globe_mm && view.chamber_mm >= shallowest_chamber_mm;
}

FluidSet on_ct(const CavityView& view, double hu) {
    if (gas_hu().holds(hu)) return {gas};
    if (heavy_liquid_hu().holds(hu)) return {heavy_liquid};
    if (watery_hu().holds(hu)) return {vitreous};
    // A scanner that reads fluid too high does so in both eyes.
    constexpr double alike_hu = 8.0;
    if (hu > watery_hu().high && hu < blood_hu().low) {
        if (view.fellow && std::abs(*view.fellow - hu) < alike_hu) return {vitreous};
        return {vitreous, haemorrhage, other};
    }
    const bool as_oil = silicone_oil_hu(view.kvp).holds(hu), as_blood = blood_hu().holds(hu), globe = is_plainly_a_globe(view);
    if (as_oil && as_blood) return {silicone_oil, haemorrhage, other};
    if (as_oil) return globe ? FluidSet{silicone_oil} : FluidSet{silicone_oil, other};
    if (as_blood) return globe ? FluidSet{haemorrhage} : FluidSet{haemorrhage, other};
    return {other};
}

enum class Weighting { t1, t2, proton_density, none };
Weighting weighting_of(SeriesRole role) {
    switch (role) {
        case SeriesRole::t1:
        case SeriesRole::t1_fatsat:
        case SeriesRole::t1_contrast:
        case SeriesRole::t1_contrast_fatsat: return Weighting::t1;
        case SeriesRole::t2:
        case SeriesRole::t2_fatsat:
        case SeriesRole::stir: return Weighting::t2;
        case SeriesRole::pd: return Weighting::proton_density;
        default: return Weighting::none;
    }
}

bool suppresses_fat(SeriesRole role) {
    return role == SeriesRole::t1_fatsat || role == SeriesRole::t1_contrast_fatsat || role == SeriesRole::t2_fatsat || role == SeriesRole::stir;
}

/// Watery fluid has so long a T1 (4 s) that nothing else that gives signal is as dark on T1. Oil (row 2.03) and blood are brighter, by amounts that overlap.
FluidSet on_t1(const CavityView& view, double signal) {
    const double to_orbit = signal / view.orbit, to_muscle = signal / view.muscle;
    // Suppressing fat suppresses oil as well, whose frequency is close by.
    if (suppresses_fat(view.role)) return FluidSet::all().without({gas, heavy_liquid});
    constexpr double darkest_fluid = 0.10, brightest_fluid = 0.36;
    if (to_orbit < darkest_fluid) return {gas, vitreous, heavy_liquid};
    if (to_orbit < brightest_fluid && to_muscle < 0.85) return {vitreous};
    if (to_orbit < 1.2 * brightest_fluid) return {silicone_oil, vitreous, haemorrhage, other};
    return {silicone_oil, haemorrhage, other};
}

/// On T2 vitreous outshines fat in all real heads seen (1.3 to 2.2 times its signal), or nearly does (0.97 in simulated ones); blood of some weeks may come near.
FluidSet on_t2(const CavityView& view, double signal) {
    const double to_orbit = signal / view.orbit;
    constexpr double alike = 0.15;
    const double plainly = suppresses_fat(view.role) ? 3.0 : 1.25, nearly = suppresses_fat(view.role) ? 1.5 : 0.85;
    if (to_orbit >= plainly) return {vitreous};
    // Beside gas and blood the field is uneven and signal lost.
    if (to_orbit < 0.25) return FluidSet::all().without({vitreous});
    if (to_orbit < nearly) return {silicone_oil, haemorrhage, other};
    if (view.fellow && std::abs(*view.fellow - signal) < alike * signal) return {vitreous};
    return {silicone_oil, vitreous, haemorrhage, other};
}

FluidSet on_mr(const CavityView& view, double signal) {
    if (!tells_of_fluids(view)) return FluidSet::all();
    const Weighting weighting = weighting_of(view.role);
    // Gas has no protons, heavy liquid none with hydrogen; fresh blood may be as dark on T2.
    constexpr double no_signal = 0.05;
    if (signal < no_signal * view.orbit) return weighting == Weighting::t2 ? FluidSet{gas, haemorrhage, heavy_liquid} : FluidSet{gas, heavy_liquid};
    if (weighting == Weighting::proton_density) return FluidSet::all().without({gas, heavy_liquid});
    return weighting == Weighting::t1 ? on_t1(view, signal) : on_t2(view, signal);
}

}  // namespace

bool tells_of_fluids(const CavityView& view) { return view.modality == Modality::ct || (view.orbit > 0.0 && view.muscle > 0.0 && weighting_of(view.role) != Weighting::none); }

FluidSet possible_fluids(const CavityView& view, double signal) { return view.modality == Modality::ct ? on_ct(view, signal) : on_mr(view, signal); }

void sort_by_gravity(FluidSet& above, FluidSet& below) {
    const auto may_lie_on = [](Fluid upper, Fluid lower) {
        if (upper == other || lower == other) return true;
        // Blood settles into layers of its own.
        return upper < lower || (upper == haemorrhage && lower == haemorrhage);
    };
    FluidSet upper_left{}, lower_left{};
    for (const Fluid u : all_fluids)
        for (const Fluid l : all_fluids)
            if (above.holds(u) && below.holds(l) && may_lie_on(u, l)) upper_left.add(u), lower_left.add(l);
    // On watery fluid nothing floats but oil and gas.
    if (below.is_only(vitreous)) upper_left = upper_left.without({other});
    above = upper_left;
    below = lower_left;
}

}  // namespace perisclera
