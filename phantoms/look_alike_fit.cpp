// SPDX-License-Identifier: Apache-2.0
#include "look_alike_fit.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace perisclera::phantoms {

namespace {

constexpr double degree = pi / 180.0;
constexpr double step_mm = 0.4;
constexpr double bearable_share = 0.01, bearable_bulge_mm = 3.0;  // as for elements
// What lies in the orbit is cut where it meets a globe, a nerve or bone; a small part of it may be.
constexpr double bearable_cut = 0.05;

/// Does the solid share any place with this one?
bool overlaps(const ElementShape& a, const ElementShape& b) {
    for (double polar = degree / 2.0; polar < pi; polar += degree)
        for (double clock = 0.0; clock < 2.0 * pi; clock += degree) {
            const EyeVector n{std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
            if (a.lift(n) <= 0.0 || b.lift(n) <= 0.0) continue;
            for (double height = -2.0; height < std::min(a.highest(), b.highest()); height += 0.1)
                if (a.contains(n, height) && b.contains(n, height)) return true;
        }
    return false;
}

/// Why it has no room; nothing if it has.
std::optional<std::string> refused(const HeadModel& head, Eye eye, const GlobePart& part) {
    const ElementFit fit = fit_of(head, eye, part.outline);
    if (fit.share_in_bone > bearable_share) return " would lie within bone";
    if (fit.beyond_skin_mm > bearable_bulge_mm) return " would reach beyond the skin";
    for (const ElementShape& element : head.eye(eye).elements())
        if (!part.round_elements && overlaps(part.outline, element)) return " would lie in an element's place";
    for (const GlobePart& other : head.eye(eye).look_alikes())
        if (other.look_alike < part.look_alike && overlaps(part.outline, other.outline)) return " would lie in another look-alike's place";
    return std::nullopt;
}

std::optional<std::string> refused(const HeadModel& head, const OrbitPart& part) {
    double whole = 0.0, in_bone = 0.0, outside = 0.0, cut = 0.0;
    for (double x = -part.reach_mm; x < part.reach_mm; x += step_mm)
        for (double y = -part.reach_mm; y < part.reach_mm; y += step_mm)
            for (double z = -part.reach_mm; z < part.reach_mm; z += step_mm) {
                const HeadPoint p = part.middle + HeadVector{x, y, z};
                if (!part.contains(p)) continue;
                ++whole;
                if (head.label_at(p) == label(part.inside(p))) continue;
                if (head.within_bone(p)) ++in_bone;
                else if (head.depth_below_resting_skin(p) < 2.0) ++outside;
                else ++cut;
            }
    if (in_bone > bearable_cut * whole) return " would lie within bone";
    if (outside > bearable_cut * whole) return " would reach beyond the skin";
    if (cut > bearable_cut * whole || whole == 0.0) return " would lie in the place of the globe, the nerve or something on the globe";
    return std::nullopt;
}

}  // namespace

Result<Done> look_alikes_fit(const Scenario& scenario) {
    for (std::size_t t = 0; t < scenario.timepoints.size(); ++t)
        for (const Series& series : scenario.timepoints[t].series) {
            const auto& eyes = scenario.timepoints[t].eyes;
            if (eyes[0].look_alikes.empty() && eyes[1].look_alikes.empty()) break;
            const HeadModel head(eyes, series.gaze_deg);
            for (const Eye eye : both_eyes) {
                const auto error = [&](std::size_t i, const std::string& why) {
                    return Error{ErrorCode::bad_scenario,
                                 "\"timepoints[" + std::to_string(t) + "].eyes." + std::string(name(eye)) + ".look_alikes[" + std::to_string(i) + "]\"" + why, "scenario",
                                 "make it smaller or move it"};
                };
                for (const GlobePart& part : head.eye(eye).look_alikes())
                    if (const auto why = refused(head, eye, part)) return error(part.look_alike, *why);
                for (const OrbitPart& part : head.orbit_look_alikes(eye))
                    if (const auto why = refused(head, part)) return error(part.look_alike, *why);
            }
        }
    return Done{};
}

}  // namespace perisclera::phantoms
