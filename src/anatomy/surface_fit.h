// SPDX-License-Identifier: Apache-2.0
#pragma once
// The globe's surface where the vitreous ends, fitted to one series from a first guess: centre and smooth shape, and on MR where the outer
// sclera lies. Patient frame, mm.
#include <optional>

#include "perisclera/anatomy/globe.h"
#include "wall_profile.h"

namespace perisclera {

/// Outer face from the end of the vitreous where the series does not tell: at the equator.
inline constexpr double usual_outer_mm = wall_at_equator_mm, usual_outer_uncertainty_mm = 0.2;

/// The cornea holds the globe's centre along the axis, of which the globe's sides say little. Common practice, no source: 11.7 mm across at the limbus with a radius
/// of 7.8 mm, its front lies 1.1 mm before the sphere through limbus and equator; it is 0.55 mm thick.
struct CorneaPlace {
    PatientVector axis;
    double inner_face_mm;             ///< projection on the axis, patient origin
    double spread_mm;                 ///< of the centre so told: standard uncertainty
    double wall_mm;                   ///< of the outer sclera beyond the surface that the fit follows
    static constexpr double before_sphere_mm = 1.1, thickness_mm = 0.55;
    /// Of this centre from where the cornea puts it, in mm along the axis.
    [[nodiscard]] double off(PatientPoint centre, double radius_mm) const {
        return dot(centre - PatientPoint{0, 0, 0}, axis) - (inner_face_mm - (radius_mm + wall_mm + before_sphere_mm - thickness_mm));
    }
};

struct Fit {
    PatientPoint centre;
    std::array<double, SmoothRadius::count> shape{};
    PatientVector anterior{0, -1, 0};
    double interior_mean = 0.0, interior_spread = 0.0, contrast = 0.0, residual = 1.0;
    double centre_uncertainty = 1.0;  ///< of the placement; single rays then tell their own
    OuterFace outer{usual_outer_mm, usual_outer_uncertainty_mm};  ///< relative to the shape, at the equator
    double thickening = 0.0;  ///< 1 where the edge is the wall's inner face: it lies within the shape by the wall's thickening, else 0
};

/// anterior: rays within 60 degrees of it meet lens, cornea or ciliary body and are left out.
Fit fit_surface(const VoxelGrid& grid, Modality modality, const GlobeCandidate& start, PatientVector anterior, const std::optional<CorneaPlace>& cornea = std::nullopt);

}  // namespace perisclera
