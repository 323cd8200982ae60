// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/one_frame.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "perisclera/core/shared_work.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

struct Member {
    EyeView* view;
    const VoxelGrid* grid;
    EyeFrame frame;               ///< where the leading series' frame of the eye lies in this series
    double turn_uncertainty_deg;  ///< of the way there
};

const VoxelGrid& shown_by(const EyeView& view, const VoxelGrid& grid) { return view.emptied ? *view.emptied : grid; }

/// What all series tell of the axis, in the leading frame. Lens and cornea are seen alike in all of them, so that more series do not make it surer than one can be.
struct CommonAxis {
    EyeVector anterior;
    double uncertainty_deg;
};
CommonAxis common_axis(const std::vector<Member>& members) {
    constexpr double least_deg = 0.8;
    EyeVector sum{0, 0, 0};
    double weights = 0.0;
    for (const Member& m : members) {
        const Globe& globe = m.view->block.globe();
        const double own = globe.axis_uncertainty.value(), weight = 1.0 / (own * own + m.turn_uncertainty_deg * m.turn_uncertainty_deg);
        sum = sum + m.frame.to_eye(globe.frame.anterior()) * weight;
        weights += weight;
    }
    return {unit(sum), std::max(least_deg, 1.0 / std::sqrt(weights))};
}

void take_frame(const Member& member, const CommonAxis& axis) {
    Globe globe = member.view->block.globe();
    const PatientPoint before = globe.frame.origin();
    globe.frame = EyeFrame(member.frame.origin(), member.frame.to_patient(axis.anterior), member.frame.superior());
    globe.outer_radius = globe.outer_radius.seen_from(globe.frame.origin() - before);
    globe.axis_uncertainty = Degrees(std::hypot(axis.uncertainty_deg, member.turn_uncertainty_deg));
    member.view->block = PolarBlock(shown_by(*member.view, *member.grid), std::move(globe));
}

}  // namespace

EyeInSeries in_series(const EyeView& view, const VoxelGrid& grid) { return {shown_by(view, grid), view.modality, view.block.globe()}; }

void bring_into_one_frame(std::vector<SeriesViews>& visit, const std::vector<const VoxelGrid*>& grids, int threads) {
    struct Pair {
        std::size_t which, lead, series;
        std::optional<Result<AlignedEye>> aligned{};
    };
    std::vector<Pair> pairs;
    for (std::size_t which = 0; which < 2; ++which) {
        std::vector<std::size_t> shown;
        for (std::size_t s = 0; s < visit.size(); ++s)
            if (visit[s].eye[which]) shown.push_back(s);
        if (shown.empty()) continue;
        const auto uncertainty = [&](std::size_t s) { return visit[s].eye[which]->block.globe().axis_uncertainty; };
        const std::size_t lead = *std::min_element(shown.begin(), shown.end(), [&](std::size_t a, std::size_t b) { return uncertainty(a) < uncertainty(b); });
        for (const std::size_t s : shown)
            if (s != lead) pairs.push_back({which, lead, s});
    }
    share_tasks(threads, pairs.size(), [&](std::size_t k) {
        Pair& p = pairs[k];
        p.aligned = align_eye(in_series(*visit[p.lead].eye[p.which], *grids[p.lead]), in_series(*visit[p.series].eye[p.which], *grids[p.series]));
    });
    for (std::size_t which = 0; which < 2; ++which) {
        std::vector<Member> members;
        for (const Pair& p : pairs) {
            if (p.which != which) continue;
            EyeView &lead = *visit[p.lead].eye[which], &view = *visit[p.series].eye[which];
            if (members.empty()) members.push_back({&lead, grids[p.lead], lead.block.globe().frame, 0.0});
            const Result<AlignedEye>& aligned = *p.aligned;
            view.kept_apart = !aligned;
            if (aligned)
                members.push_back({&view, grids[p.series], aligned.value().frame, aligned.value().turn_uncertainty.value()});
            else
                visit[p.series].problems.push_back(say(which == 0 ? "series.right_eye_apart" : "series.left_eye_apart", {{"why", aligned.error().what}}));
        }
        if (members.size() < 2) continue;
        const CommonAxis axis = common_axis(members);
        for (const Member& m : members) take_frame(m, axis);
    }
}

}  // namespace perisclera
