// SPDX-License-Identifier: Apache-2.0
#include "element_fit.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace perisclera::phantoms {

namespace {

constexpr double degree = pi / 180.0;
constexpr double step_mm = 0.5;
// A sampled surface is never sharper than the sampling: less of an element than this in bone is none.
constexpr double bearable_share = 0.01;
// Lids and conjunctiva bulge by some millimetres over an element. Common practice, no source.
constexpr double bearable_bulge_mm = 3.0;
// Behind 115 degrees from its axis a globe may be drawn out or flat; thinner than any element, so that one still lies on the wall.
constexpr double bearable_off_sphere_mm = 0.3;

}  // namespace

ElementFit fit_of(const HeadModel& head, Eye eye, const ElementShape& element) {
    const EyePlacement& placement = head.placement(eye);
    const double R = head.eye(eye).shape().radius;
    double whole = 0.0, in_bone = 0.0, beyond = 0.0, off_sphere = 0.0;
    for (double polar = degree; polar < 180.0 * degree; polar += 2.0 * degree)
        for (double clock = 0.0; clock < 360.0 * degree; clock += 2.0 * degree) {
            const EyeVector n{std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
            for (double height = -4.0; height <= element.highest(); height += step_mm) {
                if (!element.contains(n, height)) continue;
                const HeadPoint p = placement.to_head(EyePoint{0, 0, 0} + n * (R + height));
                const double volume = (R + height) * (R + height) * std::sin(polar);
                whole += volume;
                off_sphere = std::max(off_sphere, std::abs(head.eye(eye).shape().outer(n) - R));
                if (head.within_bone(p)) in_bone += volume;
                beyond = std::max(beyond, -head.depth_below_resting_skin(p));
            }
        }
    return {whole > 0.0 ? in_bone / whole : 0.0, beyond, off_sphere};
}

Result<Done> elements_fit(const Scenario& scenario) {
    for (std::size_t t = 0; t < scenario.timepoints.size(); ++t)
        for (const Series& series : scenario.timepoints[t].series) {
            const HeadModel head(scenario.timepoints[t].eyes, series.gaze_deg);
            for (const Eye eye : both_eyes)
                for (std::size_t i = 0; i < head.eye(eye).elements().size(); ++i) {
                    const ElementFit fit = fit_of(head, eye, head.eye(eye).elements()[i]);
                    const std::string element =
                        "\"timepoints[" + std::to_string(t) + "].eyes." + std::string(name(eye)) + ".elements[" + std::to_string(i) + "]\"";
                    const auto refused = [&](const char* why) {
                        return Error{ErrorCode::bad_scenario, element + why, "scenario", "make it thinner or move it"};
                    };
                    if (fit.share_in_bone > bearable_share) return refused(" would lie within bone");
                    if (fit.off_sphere_mm > bearable_off_sphere_mm) return refused(" would lie so far back that the globe is no sphere there");
                    if (fit.beyond_skin_mm > bearable_bulge_mm) return refused(" would reach beyond the skin");
                }
        }
    return Done{};
}

}  // namespace perisclera::phantoms
