// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/mass_effect.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
/// By how much a head nods against the scanner's axes, standard. Common practice, no source.
constexpr double nod_deg = 6.0;
/// The front of the cornea is a ball of this radius (common practice, no source).
constexpr double corneal_radius_mm = 7.8;

Measured<Mm> mm(double value, double standard) { return Measured<Mm>::from_standard_uncertainty(Mm(value), Mm(standard)); }
Measured<Degrees> degrees(double value, double standard) { return Measured<Degrees>::from_standard_uncertainty(Degrees(value), Degrees(standard)); }

/// The point of the outer sclera farthest along a direction, unit vector.
PatientPoint farthest(const Globe& globe, PatientVector towards) {
    static const std::vector<PatientVector> all = even_directions<PatientLps>(2000);
    PatientPoint best = globe.frame.origin();
    double reach = 0.0;
    for (const PatientVector& d : all) {
        const double along = dot(d, towards);
        if (along < 0.7) continue;
        const double r = globe.outer_radius_mm(d);
        if (along * r > reach) reach = along * r, best = globe.frame.origin() + d * r;
    }
    return best;
}

GlobeOffset offset_of(const Globe& own, const Globe& fellow, const HeadMidplane& head) {
    const PatientVector from_fellow = own.frame.origin() - head.mirrored(fellow.frame.origin());
    const double apart = std::abs(head.left_of(own.frame.origin()) - head.left_of(fellow.frame.origin()));
    const double centres = std::hypot(own.centre_uncertainty.value(), fellow.centre_uncertainty.value());
    const double up = dot(from_fellow, head.superior()), forward = dot(from_fellow, head.anterior());
    const double yaw = head.yaw_uncertainty.value() * degree, roll = head.roll_uncertainty.value() * degree, nod = std::sin(nod_deg * degree);
    const double forward_doubt = std::hypot(centres, apart * yaw, up * nod);
    const PatientVector back = -head.anterior();
    // A point of the margin is mirrored as the centre is; its reach beyond the centre needs no plane.
    const double reach = dot(farthest(own, back) - own.frame.origin(), back), fellow_back_reach = [&] {
        const PatientVector mirrored_back = back - head.left * (2.0 * dot(back, head.left));
        return dot(farthest(fellow, mirrored_back) - fellow.frame.origin(), mirrored_back);
    }();
    const double radii = std::hypot(own.radius_uncertainty.value(), fellow.radius_uncertainty.value());
    return {mm(up, std::hypot(centres, apart * roll, forward * nod)), mm(forward, forward_doubt), mm(dot(from_fellow, head.left), std::hypot(centres, 2.0 * head.place_uncertainty.value())),
            mm(forward - reach + fellow_back_reach, std::hypot(forward_doubt, radii))};
}

struct Direction {
    double left, up;   ///< degrees
};
Direction direction_of(const Globe& globe, const HeadMidplane& head) {
    const PatientVector axis = globe.frame.anterior();
    return {std::atan2(dot(axis, head.left), dot(axis, head.anterior())) / degree, std::asin(std::clamp(dot(axis, head.superior()), -1.0, 1.0)) / degree};
}

EyeTurn turn_of(const Globe& own, const Globe& fellow, const HeadMidplane& head) {
    const Direction at = direction_of(own, head), fellow_at = direction_of(fellow, head);
    const double axis = own.axis_uncertainty.value(), both = std::hypot(axis, fellow.axis_uncertainty.value());
    return {degrees(at.left, std::hypot(axis, head.yaw_uncertainty.value())), degrees(at.up, std::hypot(axis, nod_deg)), degrees(-temporal_sign(own.eye) * (at.left - fellow_at.left), both),
            degrees(at.up - fellow_at.up, std::hypot(both, 2.0 * head.roll_uncertainty.value() * std::abs(std::sin(at.left * degree))))};
}

GlobeProtrusion protrusion_of(const Globe& globe, const HeadMidplane& head, const InterzygomaticLine& line) {
    const PatientVector forwards = line.forwards(head), axis = globe.frame.anterior();
    const PatientPoint rear = farthest(globe, -forwards);
    const PatientVector up = cross(forwards, unit(line.left - line.right));
    const double nod = std::sin(nod_deg * degree), edge = line.edge_uncertainty.value(), centre = globe.centre_uncertainty.value();
    const auto level_doubt = [&](PatientPoint p) { return nod * std::abs(dot(p - line.right, up)); };
    const auto cornea = globe.axial_length.visit([&](const auto& found) -> Measurement<Mm> {
        if constexpr (std::is_same_v<std::decay_t<decltype(found)>, Unmeasured>) {
            return Unmeasured{say("reason.cornea_not_seen", {{"why", found.why}})};
        } else {
            const PatientPoint apex = globe.frame.origin() + axis * (found.value().value() - globe.outer_radius_mm(-axis));
            const PatientPoint foremost = apex + (forwards - axis) * corneal_radius_mm;
            return mm(line.in_front(foremost, head), std::hypot(edge, std::hypot(found.standard_uncertainty().value(), level_doubt(foremost))));
        }
    });
    const double at_centre = std::hypot(edge, centre, level_doubt(globe.frame.origin()));
    // The ends lie on edges that round off to either side.
    constexpr double end_mm = 1.0;
    return {mm(line.length_mm(), std::numbers::sqrt2 * end_mm), cornea, mm(line.in_front(globe.frame.origin(), head), at_centre),
            mm(-line.in_front(rear, head), std::hypot(at_centre, globe.radius_uncertainty.value()))};
}

}  // namespace

double GlobeOffset::doubt_mm() const {
    return std::hypot(superior.standard_uncertainty().value(), anterior.standard_uncertainty().value(), left.standard_uncertainty().value());
}

std::optional<HeadLandmarks> head_landmarks(const VoxelGrid& grid, Modality modality, const Globe& right, const Globe& left) {
    const auto midplane = find_midplane(grid, modality, {right.frame.origin(), left.frame.origin()});
    if (!midplane) return std::nullopt;
    if (modality == Modality::mr) return HeadLandmarks{*midplane, Unmeasured{say("reason.no_bone_on_mr")}};
    return HeadLandmarks{*midplane, find_interzygomatic_line(grid, *midplane, {&right, &left})};
}

std::array<GlobePosition, 2> globe_positions(const HeadLandmarks& head, const Globe& right, const Globe& left) {
    const auto position = [&](const Globe& own, const Globe& fellow) -> GlobePosition {
        std::variant<GlobeProtrusion, Unmeasured> protrusion = Unmeasured{};
        if (const auto* line = std::get_if<InterzygomaticLine>(&head.line))
            protrusion = protrusion_of(own, head.midplane, *line);
        else
            protrusion = std::get<Unmeasured>(head.line);
        return {offset_of(own, fellow, head.midplane), turn_of(own, fellow, head.midplane), std::move(protrusion)};
    };
    return {position(right, left), position(left, right)};
}

}  // namespace perisclera
