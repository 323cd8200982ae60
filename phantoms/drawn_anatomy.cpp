// SPDX-License-Identifier: Apache-2.0
// Means and standard deviations, and where they come from:
// - interzygomatic line, men 102.7 +- 3.9 mm, women 97.0 +- 3.4 mm: Tomography 2024;10:1706 (MR, 102 adults);
// - globe across 24.2 mm: Bekerman 2014 (CT, 250 adults);
// - its deviation, and corneal front to retina 23.10 +- 0.92 mm: MR of 31 emmetropes, PMID 19176097;
// - posterior margin behind the interzygomatic line 9.4 mm (5.9 to 12.8): Ozgen 1998 (CT, 200 orbits);
// - cornea 11.7 mm, deviation 0.7 mm: textbook; Yalcin 2004 (60 eyes);
// - sclera: Vurgese 2012 (238 globes); 0.3 mm behind the insertions: Olsen 1998;
// - insertions 5.5, 6.5, 6.9, 7.7 mm behind the limbus: textbook; their deviation 0.5 mm: Yalcin 2004;
// - widths of the superior 10.5 +- 1.0 and the inferior insertion 8.4 +- 0.6 mm: Yalcin 2004;
// - thickness of recti and superior oblique: Rana 2022 (CT, 201 orbits);
// - optic nerve sheath: between 4.1 mm (CT, 214 Koreans) and 5.6 mm (Rana 2022).
// Everything else is common practice, no source: the eyes out of the usual, widths of the horizontal recti, gland, curvature of the cornea,
// kinds of lenses, how alike the two eyes are. The share of fat is that of the real heads at hand (docs/known_limits.md).
#include "drawn_anatomy.h"

#include <algorithm>
#include <cmath>

#include "random_field.h"

namespace perisclera::phantoms {

namespace {

/// Drawn figures end here, in standard deviations: what the publications call the range of normal.
constexpr double farthest_drawn = 2.1;

constexpr double usual_line_mm = 104.0;  // the interzygomatic line of the fixed head

/// What is drawn, by name. New ones go to the end, so that a seed keeps its patient.
enum class Figure : std::uint64_t {
    sex,
    face,
    face_half,
    globe,
    length,
    protrusion,
    limbus,
    curvature,
    sclera,
    sclera_limbus,
    sclera_ora,
    sclera_equator,
    sclera_middle,
    sclera_pole,
    insertions,
    superior_insertion,
    inferior_insertion,
    medial_insertion,
    lateral_insertion,
    muscles,
    superior_belly,
    inferior_belly,
    medial_belly,
    lateral_belly,
    superior_width,
    inferior_width,
    medial_width,
    lateral_width,
    oblique,
    nerve,
    gland,
    fat,
    torsion,
    lens,
    bulge,
    bulge_place
};

/// Standard normal numbers of one eye of one patient.
class Draw {
public:
    Draw(std::uint64_t seed, Eye eye) : patient_(mixed(seed, 0x616e61746f6d79u)), eye_(mixed(patient_, 1 + index_of(eye))) {}

    /// `alike` is the correlation between the two eyes.
    [[nodiscard]] double normal(Figure figure, double alike) const {
        const auto index = static_cast<std::uint64_t>(figure);
        const double z = std::sqrt(alike) * normal_number(patient_, index) + std::sqrt(1.0 - alike) * normal_number(eye_, index);
        return std::clamp(z, -farthest_drawn, farthest_drawn);
    }
    [[nodiscard]] double about(Figure figure, double mean, double deviation, double alike) const { return mean + deviation * normal(figure, alike); }
    /// Evenly between 0 and 1.
    [[nodiscard]] double share(Figure figure, double alike) const {
        const auto index = static_cast<std::uint64_t>(figure);
        const double z = std::sqrt(alike) * normal_number(patient_, index) + std::sqrt(1.0 - alike) * normal_number(eye_, index);
        return 0.5 * std::erfc(-z / std::sqrt(2.0));
    }
    [[nodiscard]] std::uint64_t key() const { return eye_; }

private:
    std::uint64_t patient_, eye_;
};

/// Logarithmically normal with this mean and deviation, so that no wall has a thickness below nothing; `z` is a standard normal number.
double log_normal(double mean, double deviation, double z) {
    const double variance = std::log(1.0 + deviation * deviation / (mean * mean));
    return mean * std::exp(std::sqrt(variance) * z - variance / 2.0);
}

/// Thick or thin as a whole and from place to place.
ScleraAnatomy drawn_sclera(const Draw& draw, double factor, double factor_behind) {
    const double whole = draw.normal(Figure::sclera, 0.9);
    const auto at = [&](Figure place, double mean, double deviation) {
        return log_normal(mean, deviation, std::clamp(std::sqrt(0.5) * (whole + draw.normal(place, 0.8)), -farthest_drawn, farthest_drawn));
    };
    ScleraAnatomy s{at(Figure::sclera_limbus, 0.50, 0.11), at(Figure::sclera_ora, 0.43, 0.14),  at(Figure::sclera_equator, 0.42, 0.15),
                    at(Figure::sclera_middle, 0.65, 0.15), at(Figure::sclera_pole, 0.94, 0.18), log_normal(0.3, 0.06, whole)};
    s.limbus_mm *= factor;
    s.ora_mm *= factor;
    s.behind_insertions_mm *= factor;
    s.equator_mm *= factor * factor_behind;
    s.mid_posterior_mm *= factor * factor_behind;
    s.posterior_pole_mm *= factor * factor_behind;
    return s;
}

/// Insertions move together, so that they stay on their spiral (medial, inferior, lateral, superior, each farther from the limbus).
std::array<RectusAnatomy, 4> drawn_recti(const Draw& draw) {
    // No insertion lies more than 1 mm off its mean: two deviations, as the surgical and cadaver series differ.
    const double together = 0.48 * std::clamp(draw.normal(Figure::insertions, 0.7), -1.7, 1.7), bulk = draw.normal(Figure::muscles, 0.95);
    const auto insertion = [&](Figure figure, double mean) { return mean + together + 0.14 * std::clamp(draw.normal(figure, 0.5), -1.3, 1.3); };
    const auto belly = [&](Figure figure, double mean, double deviation) {
        return mean + deviation * std::clamp(std::sqrt(0.5) * (bulk + draw.normal(figure, 0.8)), -farthest_drawn, farthest_drawn);
    };
    return {
        {{insertion(Figure::superior_insertion, 7.7), belly(Figure::superior_belly, 4.13, 0.72), draw.about(Figure::superior_width, 10.5, 1.0, 0.8)},
         {insertion(Figure::inferior_insertion, 6.5), belly(Figure::inferior_belly, 4.20, 0.70), draw.about(Figure::inferior_width, 8.4, 0.6, 0.8)},
         {insertion(Figure::medial_insertion, 5.5), belly(Figure::medial_belly, 4.22, 0.56), draw.about(Figure::medial_width, 10.0, 0.6, 0.8)},
         {insertion(Figure::lateral_insertion, 6.9), belly(Figure::lateral_belly, 3.40, 0.56), draw.about(Figure::lateral_width, 9.2, 0.6, 0.8)}}};
}

/// Radius, and how far the eye is from front to retina.
struct Size {
    double radius, inner_length;
};
Size drawn_size(const Draw& draw, EyeKind kind) {
    // Both follow the size of the globe; the length has a part of its own.
    const double size = draw.normal(Figure::globe, 0.97);
    const double longer = std::clamp(0.9 * size + 0.436 * draw.normal(Figure::length, 0.97), -farthest_drawn, farthest_drawn);
    switch (kind) {
        case EyeKind::usual:
            return {12.1 + 0.45 * size, 23.10 + 0.92 * longer};
        case EyeKind::short_eye:
            return {11.4 + 0.25 * size, 21.2 + 0.4 * longer};
        case EyeKind::long_eye:
            return {12.6 + 0.25 * size, 25.2 + 0.4 * longer};
        case EyeKind::myopic:
            return {12.5 + 0.3 * size, 28.0 + 0.9 * longer};
        case EyeKind::staphyloma:
            return {12.5 + 0.3 * size, 28.5 + 0.9 * longer};
        case EyeKind::shrunken:
            return {9.3 + 0.3 * size, 17.0 + 0.4 * longer};
    }
    return {12.1, 23.1};
}

Staphyloma drawn_staphyloma(const Draw& draw, double side) {
    // Most lie about the disc and the macula: nasal to temporal of the pole, a little below.
    const double aside = 0.25 * std::clamp(draw.normal(Figure::bulge_place, 0.5), -1.0, 1.0), below = -0.12;
    return {2.5 + 0.6 * draw.normal(Figure::bulge, 0.5), unit(EyeVector{side * aside, below, -1.0})};
}

Lens drawn_lens(const Draw& draw) {
    const double share = draw.share(Figure::lens, 0.8);
    return share < 0.70 ? Lens::natural : share < 0.95 ? Lens::implant : Lens::none;
}

EyeState drawn_eye(const DrawnPatient& patient, Eye eye) {
    const Draw draw(patient.seed, eye);
    const EyeKind kind = patient.kinds[index_of(eye)];
    const bool stretched = kind == EyeKind::myopic || kind == EyeKind::staphyloma;
    const bool man = patient.sex == "M" || (patient.sex != "F" && draw.share(Figure::sex, 1.0) < 0.5);
    const Size size = drawn_size(draw, kind);

    EyeAnatomy a;
    // Half a face is as broad as the whole, and differs a little from the other half.
    const double line = man ? draw.about(Figure::face, 102.7, 3.9, 1.0) : draw.about(Figure::face, 97.0, 3.4, 1.0);
    a.from_midline_mm = 31.0 * line / usual_line_mm + 0.3 * draw.normal(Figure::face_half, 0.0);
    // Orbits are as broad as their globe is large (r = 0.88), shrunken and stretched globes aside.
    a.orbit_scale = 1.03 + 0.8 * (std::clamp(size.radius, 11.2, 13.0) / 12.1 - 1.0);
    a.lid_radius_mm = size.radius + 3.6;
    a.limbus_radius_mm = draw.about(Figure::limbus, 5.85, 0.35, 0.95) * (kind == EyeKind::shrunken ? 0.85 : 1.0);
    a.corneal_radius_mm = draw.about(Figure::curvature, 7.8, 0.25, 0.95);
    if (kind == EyeKind::staphyloma) a.staphyloma = drawn_staphyloma(draw, temporal_sign(eye));
    // Sclera thins at and behind the equator where an eye is longer than 26 mm (Vurgese 2012); by how much is common practice.
    a.sclera = drawn_sclera(draw, kind == EyeKind::shrunken ? 1.6 : 1.0, stretched ? 0.7 : 1.0);
    a.recti = drawn_recti(draw);
    a.superior_oblique_mm = draw.about(Figure::oblique, 2.60, 0.43, 0.9);
    a.whole_obliques = true;
    a.nerve_sheath_mm = draw.about(Figure::nerve, 5.0, 0.6, 0.9);
    a.gland_scale = draw.about(Figure::gland, 1.05, 0.15, 0.8);
    a.cushion = CushionAnatomy{0.1 + 0.4 * draw.share(Figure::fat, 0.9), mixed(draw.key(), 1)};
    a.torsion_deg = draw.about(Figure::torsion, 0.0, 3.0, 0.0);

    const GlobeShape sphere{size.radius, 0.0, a.limbus_radius_mm, a.corneal_radius_mm, a.staphyloma};
    // An eye is hardly flatter behind than this.
    constexpr double flattest_mm = -2.0;
    const double length = std::max(size.inner_length + a.sclera->posterior_pole_mm + uvea_thickness_mm, sphere.axial_length() + flattest_mm);
    const double behind_line = draw.about(Figure::protrusion, 9.4, 1.6, 0.95) + (stretched ? 2.0 : 0.0);
    a.setback_mm = a.rim_behind_globe_mm() + behind_line - (length - sphere.apex_z());
    return {size.radius, length, Contents::vitreous, drawn_lens(draw), {0.0, 0.0, 0.0}, {}, a};
}

}  // namespace

std::array<EyeState, 2> drawn_eyes(const DrawnPatient& patient) { return {drawn_eye(patient, Eye::right), drawn_eye(patient, Eye::left)}; }

}  // namespace perisclera::phantoms
