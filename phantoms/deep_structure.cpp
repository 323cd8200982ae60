// SPDX-License-Identifier: Apache-2.0
#include "deep_structure.h"

#include <algorithm>
#include <cmath>

#include "ellipsoid.h"

namespace perisclera::phantoms {

namespace {

constexpr Ellipsoid cerebrum{0.0, 88.0, 45.0, 66.0, 82.0, 68.0}, frontal_lobes{0.0, 50.0, 42.0, 52.0, 55.0, 31.0}, ventricle{12.0, 85.0, 52.0, 7.0, 32.0, 8.0};
constexpr double cerebrum_mm = 68.0, frontal_mm = 34.0;  // from surface to middle
constexpr double vault_mm = 6.0, liquor_mm = 2.0;
constexpr double most_fold = 2.0;         // of sines
constexpr double deepest_fold_mm = 9.5;   // in the brain: deeper there is neither sulcus nor cortex
constexpr double forehead_z = 13.0, forehead_y = 18.0;  // above it and in front of it
constexpr Ellipsoid sphenoid_sinus{5.0, 43.0, -6.0, 8.0, 9.0, 8.0}, maxillary_sinus{30.0, 14.0, -35.0, 13.5, 15.0, 16.0}, cheekbone{46.0, 9.0, -21.0, 9.0, 12.0, 7.0};
constexpr double nose_m = 13.5, nose_y = 45.0, nose_below_z = 10.0, nose_above_z = -42.0;  // ethmoid cells and nasal cavity lie within
constexpr double sphenoid_bone = 1.2, antrum_bone = 1.1;  // share of the sinus' size at which its wall ends

/// The medial wall is paper-thin; the lateral one is stout at its rim and where the great wing of the sphenoid meets the skull, thin between.
double wall_thickness(const OrbitPlace& o, double y) {
    if (y < rim_y(0.0) + 6.0) return 4.0;  // the rim is stout all round
    const double lateral = std::max(0.0, o.lateral_share), medial = std::max(0.0, -o.lateral_share);
    const double rim = 6.0 * (1.0 - smooth_step((y - 6.0) / 9.0)), great_wing = 4.0 * smooth_step((y - 18.0) / 8.0);
    return 1.2 + lateral * lateral * (0.5 + rim + great_wing) - 0.6 * medial + 1.5 * std::max(0.0, o.up_share);
}

/// Folds of the brain's surface and of the planes between muscles: about -1 to 1.
double folds(double m, double y, double z) {
    return std::sin(0.45 * m + 0.3 * z) * std::sin(0.4 * y) + std::sin(0.5 * z - 0.2 * y) * std::sin(0.35 * m + 1.0);
}

/// Depth below the inner table of the skull, the frontal lobes over the orbits left out; negative outside.
double depth_in_cerebrum(double m, double y, double z) { return (1.0 - cerebrum.at(m, y, z)) * cerebrum_mm; }

std::optional<Tissue> brain_or_skull(double m, double y, double z, double depth) {
    // The cerebrum, and the frontal lobes over the orbits: depth below the inner table.
    const double whole = depth_in_cerebrum(m, y, z);
    const double frontal = (1.0 - frontal_lobes.at(m, y, z)) * frontal_mm;
    const double inside = std::max(whole, frontal);
    if (inside < 0.0) {
        if (inside > -vault_mm) return inside > -1.6 || inside < -4.4 ? Tissue::cortical_bone : Tissue::spongy_bone;
        const bool forehead = z > forehead_z && y < forehead_y - 16.0 * smooth_step((m - 36.0) / 20.0);
        if (forehead && depth > 5.5) return depth < 7.5 ? Tissue::cortical_bone : Tissue::spongy_bone;
        return std::nullopt;
    }
    const double brain = inside - liquor_mm;
    if (brain < 0.0) return Tissue::fluid;
    const double fold = brain < deepest_fold_mm ? folds(m, y, z) : most_fold;
    if ((brain < 9.0 && std::abs(fold) < 0.09) || m < 1.2) return Tissue::fluid;  // sulci, the cleft between the hemispheres
    if (ventricle.at(m, y, z) < 1.0) return Tissue::fluid;
    return brain < 3.5 + 2.0 * (1.0 + fold) ? Tissue::grey : Tissue::white;
}

/// Air spaces of nose and sinuses with their walls.
std::optional<Tissue> sinuses(double m, double y, double z, double depth) {
    if (z > 14.0 || y > 56.0) return std::nullopt;
    if (m < (y > -5.0 ? 13.5 : 11.5) && y < 33.0 && z > -9.0 && z < 10.0 && depth > 5.0) {
        const double roof = depth_in_cerebrum(m, y, z);
        if (roof > 0.0) return std::nullopt;
        if (depth < 6.5 || roof > -1.5) return Tissue::cortical_bone;  // nasal bones, skull base
        // Ethmoid cells between the orbits; the outermost reach the medial wall.
        const double septum = distance_to_septa(m + 2.0, y, z, 8.0);
        return septum < 0.3 ? Tissue::cortical_bone : septum < 0.8 ? Tissue::mucosa : Tissue::air;
    }
    if (m < 13.0 && y < 45.0 && z <= -9.0 && z > -42.0 && depth > 5.0) {  // nasal cavity: septum and turbinates
        if (m < 0.9) return y > 0.0 ? Tissue::cortical_bone : Tissue::mucosa;
        const double side_wall = std::min(11.5, 7.5 + 0.35 * (y + 14.0));  // the cavity widens behind the nostrils
        if (m > side_wall) return m > side_wall + 1.5 ? std::optional(Tissue::cortical_bone) : Tissue::mucosa;
        const double turbinate = std::sin(0.45 * z) * 2.5 + 7.0 - m;
        return (turbinate < 0.0 && y > 2.0) || m < 1.8 || depth < 6.5 ? Tissue::mucosa : Tissue::air;
    }
    const double sphenoid = sphenoid_sinus.at(m, y, z);
    if (sphenoid < sphenoid_bone) return sphenoid < 0.92 ? Tissue::air : sphenoid < 1.0 ? Tissue::mucosa : Tissue::cortical_bone;
    const double antrum = maxillary_sinus.at(m, y, z);
    if (antrum < antrum_bone && depth > 5.0) return antrum < 0.94 ? Tissue::air : antrum < 1.0 ? Tissue::mucosa : Tissue::cortical_bone;
    return std::nullopt;
}

}  // namespace

std::optional<Tissue> deep_structure(const OrbitPlace& o, double m, double y, double z, double depth, Locality near) {
    if (near.may_be(Nearby::wall) && depth > 3.0 && y > rim_y(m) && o.to_wall >= 1.0 && o.forward < 1.25) {
        const double thickness = wall_thickness(o, y), into = (o.to_wall - 1.0) * o.half_breadth;
        constexpr double table = 1.2;  // of compact bone on either side of the marrow
        if (into < thickness) return into > table && into < thickness - table && thickness > 3.0 ? Tissue::spongy_bone : Tissue::cortical_bone;
    }
    if (near.may_be(Nearby::sinuses))
        if (const auto t = sinuses(m, y, z, depth)) return t;
    if (near.may_be(Nearby::cheekbone)) {
        const double in_cheek = cheekbone.at(m, y, z);
        if (in_cheek < 1.0 && depth > 4.0) return in_cheek > 0.8 ? Tissue::cortical_bone : Tissue::spongy_bone;
    }
    return near.may_be(Nearby::skull) ? brain_or_skull(m, y, z, depth) : std::nullopt;
}

Tissue outer_soft_tissue(double m, double y, double z, double depth) {
    if (depth < 3.5) return Tissue::fat;
    if (depth < 5.0) return Tissue::muscle;                                                  // muscles of expression
    if (m > 38.0 && y > 8.0 && z > -28.0) return depth < 6.5 ? Tissue::fat : Tissue::muscle;  // temporalis under its fat
    return y < 12.0 || std::abs(folds(0.4 * m, 0.5 * y, 0.5 * z)) < 0.22 ? Tissue::fat : Tissue::muscle;  // cheek, then chewing muscles
}

void note_deep_structures(Locality& near, const HeadBox& face, const OrbitPlaceRange& place) {
    // The greatest of wall_thickness: laterally rim and great wing are not both stout.
    const double thickest = std::max(face.y.low < rim_y(0.0) + 6.0 ? 4.0 : 0.0, place.lateral ? 9.2 : 2.7);
    near.add(Nearby::wall, place.to_wall.high >= 1.0 && place.forward.low < 1.25 && place.beyond_wall_mm < thickest && face.y.high > rim_y(face.x.low));
    near.add(Nearby::sinuses, (face.x.low < nose_m && face.y.low < nose_y && face.z.meets(nose_above_z, nose_below_z)) ||
                                  sphenoid_sinus.within(face).low < sphenoid_bone || maxillary_sinus.within(face).low < antrum_bone);
    near.add(Nearby::cheekbone, cheekbone.within(face).low < 1.0);
    const double inside = std::max((1.0 - cerebrum.within(face).low) * cerebrum_mm, (1.0 - frontal_lobes.within(face).low) * frontal_mm);
    near.add(Nearby::skull, inside > -vault_mm || (face.z.high > forehead_z && face.y.low < forehead_y));
}

std::optional<Tissue> deep_outer_soft_tissue(const HeadBox& face) {
    if (face.x.low > 38.0 && face.y.low > 8.0 && face.z.low > -28.0) return Tissue::muscle;
    const bool no_temporalis = face.x.high <= 38.0 || face.y.high <= 8.0 || face.z.high <= -28.0;
    return no_temporalis && face.y.high < 12.0 ? std::optional(Tissue::fat) : std::nullopt;
}

}  // namespace perisclera::phantoms
