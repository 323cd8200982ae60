// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/globe.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lens.h"
#include "surface_fit.h"

namespace perisclera {

namespace {

constexpr double torsion_free_prior_deg = 10.0;  // gaze of a person asked to look ahead, lids closed
// The lens centre lies about 6.4 mm before the globe's centre (24 mm axis; lens from 3.6 to 7.6 mm behind the corneal front, from memory).
constexpr double lens_lever_mm = 6.4;

}  // namespace

double Globe::equatorial_radius_mm() const {
    double sum = 0.0;
    constexpr int count = 24;
    for (int i = 0; i < count; ++i) {
        const double a = 2.0 * std::numbers::pi * i / count;
        sum += outer_radius_mm(frame.to_patient(EyeVector{std::sin(a), std::cos(a), 0.0}));
    }
    return sum / count;
}

Globe fit_globe(const VoxelGrid& grid, Modality modality, Eye eye, const GlobeCandidate& start, std::optional<PatientPoint> other_centre) {
    const PatientVector superior{0.0, 0.0, 1.0};
    PatientVector left{1.0, 0.0, 0.0};
    if (other_centre) left = unit(eye == Eye::right ? *other_centre - start.centre : start.centre - *other_centre);
    const PatientVector ahead = unit(-cross(superior, left));
    const PatientVector level_superior = unit(cross(ahead, left));

    Fit fit = fit_surface(grid, modality, start, ahead);
    PatientVector axis = ahead;
    double axis_uncertainty = torsion_free_prior_deg;
    const std::optional<PatientVector> lens = lens_direction(grid, fit, ahead);
    if (lens) {
        const auto spacing = grid.geometry().spacing_mm();
        const double coarse = *std::max_element(spacing.begin(), spacing.end());
        const double lens_error = std::hypot(4.0, coarse * 0.35 / lens_lever_mm * 57.3);
        const double lens_weight = 1.0 / (lens_error * lens_error), prior_weight = 1.0 / (torsion_free_prior_deg * torsion_free_prior_deg);
        axis = unit(*lens * lens_weight + ahead * prior_weight);
        axis_uncertainty = 1.0 / std::sqrt(lens_weight + prior_weight);
    }
    const std::optional<LensPlace> place = lens_place(grid, fit, axis);
    if (lens || place) fit = fit_surface(grid, modality, {fit.centre, Mm(fit.shape[0]), fit.interior_mean, fit.interior_spread, 1.0}, axis, place);
    // Inner face and wall are told so that they add up to the outer face, which is what was found.
    std::array<double, SmoothRadius::count> inner = fit.shape;
    inner[0] += fit.outer.offset_mm - usual_outer_mm;
    Globe globe{eye,
                EyeFrame(fit.centre, axis, level_superior),
                Degrees(axis_uncertainty),
                Mm(std::max(0.2, fit.centre_uncertainty)),
                SmoothRadius(inner, fit.anterior),
                Mm(usual_outer_mm),
                Mm(std::hypot(fit.outer.uncertainty_mm, 0.2 + 0.15 * fit.residual)),
                fit.interior_mean,
                fit.interior_spread,
                fit.contrast,
                Mm(fit.residual),
                lens.has_value(),
                Unmeasured{"the front of the cornea cannot be told from the lids in this series"},
                Unmeasured{"not fitted"}};
    globe.equatorial_diameter = Measured<Mm>::from_standard_uncertainty(Mm(2.0 * globe.equatorial_radius_mm()), Mm(2.0 * globe.radius_uncertainty.value()));
    return globe;
}

}  // namespace perisclera
