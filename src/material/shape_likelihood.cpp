// SPDX-License-Identifier: Apache-2.0
#include "shape_likelihood.h"

#include <cmath>

namespace perisclera {

namespace {

double rises(double x, double at, double softness) { return 1.0 / (1.0 + std::exp((at - x) / softness)); }

/// Even between two sizes whose ends are soft; sums to about 1 over all.
struct Sizes {
    double from, to, soft_from, soft_to;
    [[nodiscard]] double density(const Reading& r) const {
        constexpr double as_bell = 0.55;   // a logistic step so wide is as soft as one blurred by a normal error
        const double blurred = as_bell * r.uncertainty;
        return rises(r.value, from, std::hypot(soft_from, blurred)) * rises(-r.value, -to, std::hypot(soft_to, blurred)) / (to - from);
    }
};

/// A share of any size at all, since what was found may be a part of the element or two of them.
double with_any(double density, double largest, double any = 0.03) { return std::lerp(density, 1.0 / largest, any); }

constexpr double thickest_mm = 10.0, all_round_h = 12.0;
}  // namespace

double density_of_thickness(MaterialClass material, const Reading& r) {
    // Bands 0.6 to 1 mm and tires 1.5 to 2.75, rods and half-cylinders to 4 (Reinforced episcleral cerclage, Acta Ophthalmol 1977;55:591-596).
    constexpr Sizes sheets{0.4, 2.9, 0.1, 0.25}, rods{1.8, 4.2, 0.2, 0.3};
    // Round 3 to 5 mm, oval to 7.5, pressed by sutures.
    constexpr Sizes sponges{2.3, 5.8, 0.25, 0.4};
    // Cut from stock 3 mm thick and more (one case: 3.3 x 5.5 mm, Korean J Ophthalmol case report), swelling up to 2.7 times in length from there.
    constexpr Sizes hydrogels{2.7, 8.2, 0.2, 0.6};
    constexpr double in_sheets = 0.75;
    if (material == MaterialClass::solid_silicone) return with_any(in_sheets * sheets.density(r) + (1.0 - in_sheets) * rods.density(r), thickest_mm);
    return with_any((material == MaterialClass::silicone_sponge ? sponges : hydrogels).density(r), thickest_mm);
}

double density_of_thickness(const Imitation& what, const Reading& r) {
    constexpr Sizes tissue{1.5, 6.2, 0.3, 0.35}, pus{2.0, 5.5, 0.3, 0.35}, collection{1.5, 4.8, 0.3, 0.5}, splinter{1.0, 4.0, 0.3, 0.4}, plates{0.4, 2.0, 0.1, 0.3};
    switch (what.kind) {
        case LookAlike::fluid: return with_any((is_collection(what) ? collection : pus).density(r), thickest_mm);
        case LookAlike::airy: return with_any(splinter.density(r), thickest_mm);
        case LookAlike::dense: return with_any(plates.density(r), thickest_mm);
        case LookAlike::soft_tissue: return with_any(tissue.density(r), thickest_mm);
        case LookAlike::unknown: break;
    }
    return 1.0 / thickest_mm;
}

double density_of_span(MaterialClass material, const Reading& r) {
    // Segments are kept under a quarter round (Primary Retinal Detachment, ch. 6) as a rule; what goes all round may show in parts. In this the materials are taken alike, since nothing but habits of
    // surgeons tells them apart; but what is laid across is sponge (a 5 mm radial one: Thompson JT, Michels RG, Arch Ophthalmol 1985;103:1822-1824).
    constexpr Sizes segments{1.6, 4.6, 0.15, 0.6}, across{0.4, 1.5, 0.1, 0.15}, all_round{1.2, 12.0, 0.3, 0.3};
    constexpr double in_segments = 0.75, sponges_across = 0.2, others_across = 0.02;
    const double along = std::lerp(all_round.density(r), segments.density(r), in_segments);
    return std::lerp(along, across.density(r), material == MaterialClass::silicone_sponge ? sponges_across : others_across);
}

double density_of_span(const Imitation& what, const Reading& r) {
    // Cysts, leaked oil and splinters are short, tissue and pus end sooner than what was laid round the eye, and little goes further than a quarter round.
    constexpr Sizes tissue{0.7, 3.1, 0.15, 0.12}, collection{0.6, 1.8, 0.15, 0.15}, splinter{0.2, 2.0, 0.1, 0.2}, plates{0.6, 3.2, 0.15, 0.4}, anything{0.2, 4.5, 0.1, 0.5};
    constexpr double of_any_extent = 0.02, all_round = 0.005;
    const auto mostly = [&](const Sizes& usual) { return with_any(std::lerp(usual.density(r), anything.density(r), of_any_extent), all_round_h, all_round); };
    switch (what.kind) {
        case LookAlike::fluid: return mostly(is_collection(what) ? collection : tissue);
        case LookAlike::airy: return mostly(splinter);
        case LookAlike::dense: return mostly(plates);
        case LookAlike::soft_tissue: return mostly(tissue);
        case LookAlike::unknown: break;
    }
    return mostly(anything);
}

}  // namespace perisclera
