// SPDX-License-Identifier: Apache-2.0
#include "strata.h"

#include <algorithm>
#include <cmath>

namespace perisclera::globes {

using namespace phantoms;

namespace {

// Parts of a division are worded so that they stand in order.
std::string slices(double thickness_mm) { return thickness_mm <= 1.5 ? "0.6 to 1.5 mm" : thickness_mm <= 3.0 ? "2 to 3 mm" : "4 to 5 mm"; }

std::string plane(const Series& s) { return s.gantry_tilt_deg != 0.0 ? "gantry tilted" : s.tilt_deg != std::array<double, 2>{0.0, 0.0} ? "oblique" : std::string(name(s.plane)); }

std::string lens(Lens lens) { return lens == Lens::natural ? "natural" : lens == Lens::implant ? "implant" : "none"; }

std::string contents(const EyeState& eye) { return std::string(name(eye.contents)) + (eye.contents_share < 1.0 ? ", partly" : ""); }

std::string fellow(const EyeState& eye) {
    return without_globe(eye.look_alikes) ? std::string(name(eye.look_alikes.front().kind)) : "a globe";
}

std::string by_size(double angle, double first, double second) {
    const auto whole = [](double v) { return std::to_string(std::lround(v)); };
    return angle <= first ? "0 to " + whole(first) + " degrees" : angle <= second ? whole(first) + " to " + whole(second) + " degrees" : "more than " + whole(second) + " degrees";
}

}  // namespace

std::string explant_of(const EyeState& eye) {
    if (eye.elements.empty()) return "none";
    const Element &first = eye.elements.front(), &last = eye.elements.back();
    if (eye.elements.size() > 1) return first.material == Material::silicone_sponge ? "sponge and band" : "band with clip";
    if (last.material == Material::solid_silicone) return last.form == Form::encircling ? "band" : "tire";
    return (last.material == Material::silicone_sponge ? "sponge " : "hydrogel ") + std::string(name(last.form));
}

std::string contrast_of(const Series& series) { return series.is_ct() ? "CT " + std::string(name(series.kernel)) : std::string(name(series.kind)); }

std::vector<Stratum> strata_of(const Timepoint& visit, const Series& series, Eye eye, const std::string& build) {
    const EyeState& state = visit.eyes[index_of(eye)];
    const std::string modality = series.is_ct() ? "CT" : "MR";
    const auto& gaze = series.gaze_deg[index_of(eye)];
    const double turned = std::max({std::abs(series.pose_deg[0]), std::abs(series.pose_deg[1]), std::abs(series.pose_deg[2])});
    const bool thick = std::any_of(state.look_alikes.begin(), state.look_alikes.end(), [](const LookAlike& l) { return l.kind == LookAlikeKind::thickened_muscles; });
    return {{"all", "all"},
            {"slices", slices(series.slice_thickness_mm)},
            {"modality and slices", modality + ", " + slices(series.slice_thickness_mm)},
            {"contrast", contrast_of(series)},
            {"plane", plane(series)},
            {"build", build},
            {"lens", lens(state.lens)},
            {"contents", contents(state)},
            {"contents by modality", modality + ", " + contents(state)},
            {"explant", explant_of(state)},
            {"muscles", thick ? "thickened" : "usual"},
            {"beside", fellow(visit.eyes[index_of(perisclera::fellow(eye))])},
            {"head turned", by_size(turned, 8.0, 15.0)},
            {"gaze", by_size(std::hypot(gaze[0], gaze[1]), 8.0, 16.0)}};
}

}  // namespace perisclera::globes
