// SPDX-License-Identifier: Apache-2.0
#pragma once
// The globe's surface where the vitreous ends, fitted to one series from a first guess: centre and smooth shape, and on MR where the outer
// sclera lies. Patient frame, mm.
#include <optional>

#include "perisclera/anatomy/globe.h"
#include "wall_profile.h"

namespace perisclera {

/// Outer face from the end of the vitreous where the series does not tell: retina, choroid and sclera (see Globe).
inline constexpr double usual_outer_mm = 1.1, usual_outer_uncertainty_mm = 0.3;

/// The lens holds the globe's centre along the axis, where the sides of the globe say little: how far forward its middle lies.
struct LensPlace {
    PatientVector axis;
    double forward_mm;                ///< projection of the lens' middle on the axis, patient origin
    double spread_mm;                 ///< of the centre so told: standard uncertainty
    /// Of this centre from where the lens puts it, in its standard uncertainties.
    [[nodiscard]] double off(PatientPoint centre, double inner_radius_mm) const { return (dot(centre - PatientPoint{0, 0, 0}, axis) - wanted(inner_radius_mm)) / spread_mm; }
    [[nodiscard]] double wanted(double inner_radius_mm) const { return forward_mm - (inner_radius_mm + usual_wall_mm - behind_outer_radius_mm); }
    // Corneal apex 1.1 mm before the sphere through limbus and equator; chamber 3.0, cornea 0.55 and half a lens 2.0 mm behind it (textbook).
    static constexpr double behind_outer_radius_mm = 4.4, usual_spread_mm = 0.8;
};

struct Fit {
    PatientPoint centre;
    std::array<double, SmoothRadius::count> shape{};
    PatientVector anterior{0, -1, 0};
    double interior_mean = 0.0, interior_spread = 0.0, contrast = 0.0, residual = 1.0;
    double centre_uncertainty = 1.0;  ///< of the placement; single rays then tell their own
    OuterFace outer{usual_outer_mm, usual_outer_uncertainty_mm};  ///< relative to the shape
};

/// anterior: rays within 60 degrees of it meet lens, cornea or ciliary body and are left out.
Fit fit_surface(const VoxelGrid& grid, Modality modality, const GlobeCandidate& start, PatientVector anterior, const std::optional<LensPlace>& lens = std::nullopt);

}  // namespace perisclera
