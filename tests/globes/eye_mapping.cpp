// SPDX-License-Identifier: Apache-2.0
#include "eye_mapping.h"

#include <algorithm>
#include <cmath>

namespace perisclera::globes {

namespace {

constexpr double degrees = 180.0 / phantoms::pi;

/// `v` turned by the smallest turn that brings the unit vector `from` onto `to`. Precondition: they are not opposite.
PatientVector swung(PatientVector v, PatientVector from, PatientVector to) {
    const PatientVector axis = cross(from, to);
    return v + cross(axis, v) + cross(axis, cross(axis, v)) / (1.0 + dot(from, to));
}

}  // namespace

Mapping mapping_between(const EyeFrame& first, const EyeFrame& second) {
    return [from = first, to = second](PatientPoint p) { return to.to_patient(from.to_eye(p)); };
}

MappingError error_of(const Mapping& mapping, const TrueEye& first, const TrueEye& second) {
    MappingError error{};
    for (const EyePoint& p : equator_points(first)) error.equator_mm.push_back(length(mapping(first.to_patient(p)) - second.to_patient(p)));
    const PatientPoint centre = mapping(first.centre());
    const auto turned = [&](PatientVector v) { return unit(mapping(first.centre() + v) - centre); };
    const PatientVector mapped = turned(first.anterior()), truth = second.anterior();
    error.axis_deg = std::atan2(length(cross(mapped, truth)), dot(mapped, truth)) * degrees;
    const PatientVector superior = swung(turned(first.superior()), mapped, truth);
    error.torsion_deg = std::atan2(dot(superior, second.towards_left()), dot(superior, second.superior())) * degrees;
    return error;
}

double turn_between(const TrueEye& first, const TrueEye& second) {
    // The trace of the rotation between the two triads is 1 + 2 cos(angle).
    const double trace = dot(first.anterior(), second.anterior()) + dot(first.superior(), second.superior()) + dot(first.towards_left(), second.towards_left());
    return std::acos(std::clamp((trace - 1.0) / 2.0, -1.0, 1.0)) * degrees;
}

}  // namespace perisclera::globes
