// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/globe.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cornea_place.h"
#include "front_model.h"
#include "front_profile.h"
#include "globe_placement.h"
#include "perisclera/core/text.h"
#include "symmetry_axis.h"
#include "wall_fit.h"

namespace perisclera {

namespace {

constexpr double usual_gaze_deg = 10.0;  // of a person asked to look ahead, lids closed
// What one signal for each part and so many independent samples leave out: by simulated eyes, no source.
constexpr double least_axis_uncertainty_deg = 1.0, parts_differ = 2.0;

/// By how little of the front's variance rings about the axis explain. Found on simulated eyes of drawn anatomy (CT, T1, T2; 0.6 to 4 mm slices), no source.
double axis_uncertainty_deg(double explained) { return std::min(usual_gaze_deg, 1.0 + 6.2 * (1.0 - explained)); }

/// Along the axis from the cornea's front to the outer sclera behind.
Measurement<Mm> axial_length(const std::optional<FrontOfEye>& front, Modality modality, double centre_shift_mm, double posterior_mm, double posterior_uncertainty_mm) {
    constexpr double thickness_spread_mm = 0.05, least_certain_mm = 0.8;
    // How far the posterior pole departs from a smooth shape; on MR the air before the eye bends the field and shifts the cornea by up to half a pixel: assumed.
    constexpr double pole_departs_mm = 0.45, cornea_shifted_mm = 0.3;
    if (!front) return Unmeasured{say("reason.cornea_not_told")};
    if (front->uncertainty_mm > least_certain_mm) return Unmeasured{say("reason.cornea_not_to_a_millimetre")};
    const double front_uncertainty_mm = std::hypot(front->uncertainty_mm, thickness_spread_mm, modality == Modality::mr ? cornea_shifted_mm : 0.0);
    return Measured<Mm>::from_standard_uncertainty(Mm(front->cornea_mm - centre_shift_mm + CorneaPlace::thickness_mm + posterior_mm),
                                                   Mm(std::hypot(front_uncertainty_mm, posterior_uncertainty_mm, pole_departs_mm)));
}

/// What eyes that are not of this shape move the centre, and what a level of two fluids does: by simulated eyes, no source.
Mm centre_uncertainty(const GlobeFit& fit, bool layered) {
    constexpr double unlike_model_mm = 0.28, level_moves_mm = 0.5;
    return Mm(std::hypot(unlike_model_mm, layered ? level_moves_mm : 0.0, fit.centre_uncertainty_mm));
}
Mm radius_uncertainty(const GlobeFit& fit) { return Mm(std::hypot(fit.radius_uncertainty_mm, 0.2 + 0.15 * fit.residual_mm)); }

Measurement<Mm> equatorial_diameter(const Globe& globe) {
    return Measured<Mm>::from_standard_uncertainty(Mm(2.0 * globe.equatorial_radius_mm()), Mm(2.0 * globe.radius_uncertainty.value()));
}

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

    const GlobeFit placed = place_globe(grid, modality, start, ahead);
    GlobeFit fit = follow_wall(grid, modality, placed, ahead);
    PatientVector axis = ahead;
    double axis_uncertainty = usual_gaze_deg;
    // Few slices cross the front of an eye where they are thicker than its parts: lens, chamber, ciliary body are 3 to 4 mm (common practice, no source).
    constexpr double part_mm = 4.0, degrees_a_mm = 3.0;
    const auto spacing = grid.geometry().spacing_mm();
    const double thick_slices_deg = degrees_a_mm * std::max(0.0, *std::max_element(spacing.begin(), spacing.end()) - part_mm);
    std::optional<FrontOfEye> front = std::nullopt;
    PatientPoint front_seen_from = fit.centre;
    // Rings show where to begin. Axis and centre follow from each other: twice is enough.
    for (const FrontSearch search : {FrontSearch::wide, FrontSearch::near}) {
        if (search == FrontSearch::wide)
            if (const auto symmetry = symmetry_axis(grid, modality, fit, ahead)) {
                const double told = std::hypot(axis_uncertainty_deg(symmetry->explained), thick_slices_deg), told_weight = 1.0 / (told * told), usual_weight = 1.0 / (usual_gaze_deg * usual_gaze_deg);
                axis = unit(symmetry->direction * told_weight + ahead * usual_weight);
            }
        front = front_of_eye(grid, modality, fit, axis);
        const double cornea_mm = front ? front->cornea_mm : CorneaPlace::inner_face_from_centre_mm(fit.radius_mm());
        if (const auto model = fit_front(grid, modality, fit, axis, ahead, cornea_mm, search)) {
            axis = model->axis;
            axis_uncertainty = std::min(usual_gaze_deg, std::hypot(least_axis_uncertainty_deg, parts_differ * model->axis_uncertainty_deg, thick_slices_deg));
        } else {
            axis = ahead, axis_uncertainty = usual_gaze_deg;
        }
        front = front_of_eye(grid, modality, fit, axis);
        front_seen_from = fit.centre;
        std::optional<CorneaPlace> cornea;
        constexpr double corneas_differ_mm = 0.4;  // in how far they stand before the sphere, from person to person: assumed
        if (front) cornea = CorneaPlace{axis, dot(fit.centre - PatientPoint{0, 0, 0}, axis) + front->cornea_mm, std::hypot(corneas_differ_mm, front->uncertainty_mm)};
        fit = follow_wall(grid, modality, fit, axis, {cornea, {}, {}});
        // No placement is off by more than half a radius: what was followed is not this globe's wall.
        constexpr double farthest_mm = 7.0;
        if (length(fit.centre - placed.centre) > farthest_mm) {
            fit = placed, axis = ahead, axis_uncertainty = usual_gaze_deg, front = std::nullopt;
            break;
        }
    }
    const bool layered = fit.fluids.has_value();
    constexpr double level_turns_deg = 2.0;   // of a level of two fluids, by simulated eyes, no source
    Globe globe{eye,
                EyeFrame(fit.centre, axis, level_superior),
                Degrees(std::hypot(axis_uncertainty, layered ? level_turns_deg : 0.0)),
                centre_uncertainty(fit, layered),
                fit.outer,
                radius_uncertainty(fit),
                fit.interior_mean,
                fit.interior_spread,
                fit.contrast,
                Mm(fit.residual_mm),
                Unmeasured{"not fitted"},
                Unmeasured{"not fitted"},
                layered};
    globe.axial_length = axial_length(front, modality, dot(fit.centre - front_seen_from, axis), globe.outer_radius_mm(-axis), globe.radius_uncertainty.value());
    globe.equatorial_diameter = equatorial_diameter(globe);
    return globe;
}

Globe fit_away_from(const VoxelGrid& grid, Modality modality, const Globe& globe, const std::function<bool(PatientVector)>& covered, const Globe* fellow) {
    const PatientVector axis = globe.frame.anterior();
    GlobeFit from{globe.frame.origin(), globe.outer_radius, globe.interior_mean, globe.interior_spread, globe.wall_contrast, 0.0, 0.0, globe.residual.value(), std::nullopt};
    WallHints hints{std::nullopt, covered, std::nullopt};
    if (fellow) hints.fellow_radius_mm = fellow->outer_radius.coefficients()[0];
    const Measured<Mm>* length = globe.axial_length.measured();
    const double front_mm = length ? length->value().value() - globe.outer_radius_mm(-axis) : 0.0;
    constexpr double cornea_spread_mm = 0.5;   // corneas differ by 0.4 mm, and this one is seen no better: assumed
    if (length) hints.cornea = CorneaPlace{axis, dot(globe.frame.origin() - PatientPoint{0, 0, 0}, axis) + front_mm - CorneaPlace::thickness_mm, cornea_spread_mm};
    const GlobeFit fit = follow_wall(grid, modality, from, axis, hints);
    Globe away = globe;
    away.frame = EyeFrame(fit.centre, axis, globe.frame.superior());
    away.centre_uncertainty = centre_uncertainty(fit, globe.layered);
    away.outer_radius = fit.outer;
    away.radius_uncertainty = radius_uncertainty(fit);
    away.residual = Mm(fit.residual_mm);
    if (length) {
        const double said = front_mm - dot(fit.centre - globe.frame.origin(), axis) + away.outer_radius_mm(-axis);
        away.axial_length = Measured<Mm>(Mm(said), Mm(said - (length->value().value() - length->low().value())), Mm(said + (length->high().value() - length->value().value())));
    }
    away.equatorial_diameter = equatorial_diameter(away);
    return away;
}

}  // namespace perisclera
