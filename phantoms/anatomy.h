// SPDX-License-Identifier: Apache-2.0
#pragma once
// What differs from person to person in one eye and its orbit, as plain figures. The defaults are the fixed anatomy of a scenario
// that draws none. mm and degrees; drawn_anatomy says where drawn figures come from.
#include <array>
#include <cstdint>
#include <optional>

#include "globe_shape.h"

namespace perisclera::phantoms {

/// Thickness of the choroid and retina together. Common practice, no source.
inline constexpr double uvea_thickness_mm = 0.4;

/// In the order of EyeAnatomy::recti.
enum class Rectus { superior, inferior, medial, lateral };

struct RectusAnatomy {
    double insertion_mm;  ///< arc from the limbus
    double belly_mm;      ///< greatest thickness
    double insertion_width_mm;
};

/// Thickness of the sclera at five places from front to back, and where the recti have just inserted.
struct ScleraAnatomy {
    double limbus_mm, ora_mm, equator_mm, mid_posterior_mm, posterior_pole_mm, behind_insertions_mm;
};

/// Lid, gland and connective tissue that lie on the globe with no fat between.
struct CushionAnatomy {
    double fat_share;   ///< of the directions round the globe: there fat begins within 5 mm of the wall
    std::uint64_t key;  ///< its unevenness follows from it
};

struct EyeAnatomy {
    double from_midline_mm = 31.0;  ///< of the globe's usual place; bones keep their proportion to it
    double setback_mm = 0.0;        ///< of the globe's usual place, backwards; the lids follow
    double lid_radius_mm = 15.3;    ///< of the closed lids about the globe
    double limbus_radius_mm = 5.9, corneal_radius_mm = 7.8;
    Staphyloma staphyloma{};
    std::optional<ScleraAnatomy> sclera{};  ///< none: 0.45 mm at the equator to 0.95 mm at the posterior pole
    // Insertions: textbook distances from the limbus. Bellies: Rana 2022 (CT, 201 orbits).
    std::array<RectusAnatomy, 4> recti{{{7.7, 4.1, 9.5}, {6.5, 4.2, 9.5}, {5.5, 4.2, 9.5}, {6.9, 3.4, 9.5}}};
    double superior_oblique_mm = 2.8;  ///< thickness of its belly
    bool whole_obliques = false;       ///< the superior's tendon beyond the trochlea and the inferior oblique
    double nerve_sheath_mm = 5.0;      ///< diameter: between the published 4.1 and 5.6 mm
    double gland_scale = 1.0;          ///< lacrimal gland against its usual size
    double orbit_scale = 1.0;          ///< breadth and height of the bony orbit against the usual
    std::optional<CushionAnatomy> cushion{};
    std::optional<double> torsion_deg{};  ///< beyond what Listing's law gives, 12 o'clock towards the patient's left; none: the eye stays upright

    [[nodiscard]] double breadth() const { return from_midline_mm / 31.0; }
    /// How far the lateral bony rims, and so the interzygomatic line, lie behind the centre of a globe that is not set back: farther in a broader
    /// orbit.
    [[nodiscard]] double rim_behind_globe_mm() const { return 4.8 + 17.0 * (orbit_scale - 1.0); }
    [[nodiscard]] const RectusAnatomy& rectus(Rectus which) const { return recti[static_cast<std::size_t>(which)]; }
};

}  // namespace perisclera::phantoms
