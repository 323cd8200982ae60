// SPDX-License-Identifier: Apache-2.0
#include "src/report/eye_in_space.h"

#include <cmath>
#include <limits>
#include <numbers>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

constexpr Look element_look{0.5, 1.0}, muscle_look{0.78, 1.0}, globe_look{1.0, 0.72, true};

/// At a clock hour, an angle from the eye's axis and a distance from the globe's centre.
std::array<double, 3> place_of(double hours, double polar, double distance) {
    const double angle = hours * std::numbers::pi / 6.0;
    const auto tenth = [](double v) { return std::round(v * 10.0) / 10.0; };
    return {tenth(distance * std::sin(polar) * std::sin(angle)), tenth(distance * std::sin(polar) * std::cos(angle)), tenth(distance * std::cos(polar))};
}

double hour_of_first_section(const EyeEntry& entry) {
    for (const ElementEntry& e : entry.elements)
        if (e.largest_section.clock_hour) return e.largest_section.clock_hour->hours();
    return 0.0;
}

EyeInSpace eye_in_space(const EyeShape& shape, const Timepoint& visit) {
    constexpr double aslant = 1.1;   // radians from the eye's axis
    EyeInSpace out{&shape, &visit, {}, {}, place_of(hour_of_first_section(visit.eye(shape.eye)), aslant, 10.0), 5.9, std::round(shape.radius * std::cos(shape.limbus_polar) * 10.0) / 10.0};
    // The page counts corners with two bytes.
    const auto add = [&](const Mesh& mesh, const Look& look) {
        if (!mesh.triangles.empty() && mesh.corners.size() <= std::numeric_limits<std::uint16_t>::max()) out.parts.push_back({&mesh, look});
    };
    for (const ElementShape& e : shape.elements) add(e.surface, element_look);
    if (out.parts.empty()) return out;
    for (const MuscleShape& m : shape.muscles) add(m.surface, muscle_look);
    add(shape.globe, globe_look);
    for (const int hour : {12, 3, 6, 9}) {
        const bool nasal = hour == (shape.eye == Eye::right ? 3 : 9);
        const std::string dial = std::to_string(hour);
        out.labels.push_back({hour % 6 == 0 ? dial : say(nasal ? "scene.nasal" : "scene.temporal", {{"hour", dial}}), place_of(hour, shape.limbus_polar + 0.05, shape.radius + 1.0)});
    }
    return out;
}

}  // namespace

std::vector<EyeInSpace> eyes_in_space(const ReportModel& model) {
    std::vector<EyeInSpace> out;
    for (const EyeShape& shape : model.eye_shapes) {
        const Timepoint* visit = current_visit(model, shape.eye);
        if (visit == nullptr || visit->id != shape.timepoint_id) continue;
        EyeInSpace eye = eye_in_space(shape, *visit);
        if (!eye.parts.empty()) out.push_back(std::move(eye));
    }
    return out;
}

}  // namespace perisclera::report
