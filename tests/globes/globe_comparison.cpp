// SPDX-License-Identifier: Apache-2.0
#include "globe_comparison.h"

#include <algorithm>
#include <cmath>

namespace perisclera::globes {

namespace {

constexpr double degrees = 180.0 / phantoms::pi;
constexpr double of_95_percent = 1.96;
// Two independent normal components lie within this many standard uncertainties of 0 together in 95 %: sqrt(-2 ln 0.05).
constexpr double of_95_percent_in_two = 2.4477;

double angle_between(PatientVector a, PatientVector b) { return std::atan2(length(cross(a, b)), dot(a, b)) * degrees; }

bool is_at(const Globe& globe, const std::optional<TrueEye>& eye) {
    constexpr double farthest_mm = 6.0;
    return eye && length(globe.frame.origin() - eye->centre()) <= farthest_mm;
}

std::optional<Claim> claim_of(const Measurement<Mm>& said, double truth) {
    const auto* measured = said.measured();
    if (!measured) return std::nullopt;
    const bool holds = measured->low().value() <= truth && truth <= measured->high().value();
    return Claim{holds, (measured->high() - measured->low()).value() / 2.0, {measured->value().value() - truth}};
}

}  // namespace

Sighting sighting_of(const std::optional<Globe>& said, const std::optional<TrueEye>& truth, const std::optional<TrueEye>& fellow_truth) {
    if (!said) return truth ? Sighting::missed : Sighting::rightly_none;
    if (is_at(*said, truth)) return Sighting::found;
    return is_at(*said, fellow_truth) ? Sighting::wrong_side : Sighting::false_globe;
}

double distance_from_surface(const Globe& globe, PatientPoint point) {
    const auto beyond = [&](PatientPoint p) {
        const PatientVector from_centre = p - globe.frame.origin();
        return length(from_centre) - globe.outer_radius_mm(unit(from_centre));
    };
    constexpr double step = 0.01;
    const auto slope = [&](PatientVector along) { return (beyond(point + along * step) - beyond(point - along * step)) / (2.0 * step); };
    return beyond(point) / std::hypot(slope({1, 0, 0}), slope({0, 1, 0}), slope({0, 0, 1}));
}

GlobeErrors errors_of(const Globe& globe, const TrueEye& truth) {
    GlobeErrors errors{};
    const std::vector<PatientPoint> sclera = scleral_points(truth);
    for (const PatientPoint& point : sclera) {
        const double off = std::abs(distance_from_surface(globe, point));
        errors.surface_mean_mm += off / static_cast<double>(sclera.size());
        errors.surface_max_mm = std::max(errors.surface_max_mm, off);
    }
    const PatientVector off_centre = globe.frame.origin() - truth.centre(), axis = truth.anterior();
    errors.along_mm = dot(off_centre, axis);
    errors.across_mm = length(off_centre - axis * errors.along_mm);
    errors.axis_deg = angle_between(globe.frame.anterior(), axis);
    errors.diameter_mm = 2.0 * (globe.equatorial_radius_mm() - truth.shape().radius);

    const double axis_doubt = globe.axis_uncertainty.value(), centre_doubt = globe.centre_uncertainty.value();
    const auto tilt = [&](PatientVector towards) { return std::asin(std::clamp(dot(globe.frame.anterior(), towards), -1.0, 1.0)) * degrees; };
    errors.axis = {errors.axis_deg <= of_95_percent_in_two * axis_doubt, of_95_percent * axis_doubt, {tilt(truth.towards_left()), tilt(truth.superior())}};
    errors.centre = {std::abs(errors.along_mm) <= of_95_percent * centre_doubt, of_95_percent * centre_doubt, {errors.along_mm}};
    errors.axial_length = claim_of(globe.axial_length, truth.shape().axial_length());
    errors.diameter = claim_of(globe.equatorial_diameter, 2.0 * truth.shape().radius);
    if (errors.axial_length) errors.axial_length_mm = errors.axial_length->errors.front();
    return errors;
}

}  // namespace perisclera::globes
