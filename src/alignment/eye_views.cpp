// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/eye_views.h"

#include <cmath>
#include <iterator>
#include <utility>

#include "perisclera/alignment/role_in_image.h"
#include "perisclera/anatomy/as_if_vitreous.h"
#include "perisclera/anatomy/lone_globe.h"
#include "perisclera/anatomy/series_quality.h"
#include "perisclera/assemble/series_role.h"
#include "perisclera/core/shared_work.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

/// More than this share of the border within the head is told: the chin rest and blankets of usual scans stay below.
constexpr double told_border = 0.25;

std::string border_in_words(double share, Modality modality) {
    return say(modality == Modality::ct ? "series.head_beyond_ct" : "series.head_beyond_mr", {{"percent", std::to_string(std::lround(100.0 * share))}});
}

/// What a series shows of the eyes, before they are fitted.
struct Sought {
    FoundGlobes globes;
    std::array<std::optional<GlobeMissing>, 2> missing{};
    std::optional<std::string> problem, conflict;
};

/// The header's word counts only where the images do not tell.
Sought seek(const ImageSeries& series) {
    const VoxelGrid& grid = series.grid();
    const GlobeSearch search = search_globes(grid, series.description.modality);
    Sought sought;
    sought.globes = search.globes;
    if (search.globes.right || search.globes.left) {
        for (const Eye eye : both_eyes)
            if (!(eye == Eye::right ? search.globes.right : search.globes.left)) sought.missing[eye == Eye::right ? 0 : 1] = GlobeMissing::not_found;
        return sought;
    }
    const auto lone = find_lone_globe(grid, series.description.modality, search.candidates);
    if (!lone) return sought;
    const std::optional<Eye> stated = series.description.stated_side;
    if (lone->side && stated && *lone->side != *stated) {
        sought.conflict = say(*stated == Eye::right ? "series.header_says_right" : "series.header_says_left");
        return sought;
    }
    const std::optional<Eye> side = lone->side ? lone->side : stated;
    if (!side) {
        sought.problem = say("series.side_not_told");
        return sought;
    }
    if (!lone->side) sought.problem = say(*side == Eye::right ? "series.right_by_header" : "series.left_by_header");
    (*side == Eye::right ? sought.globes.right : sought.globes.left) = lone->globe;
    sought.missing[*side == Eye::right ? 1 : 0] = fellow_place_is_imaged(grid, *side, lone->globe) ? GlobeMissing::not_found : GlobeMissing::outside_images;
    return sought;
}

/// Fluids that differ by less are taken for one: on CT somewhat more than shading, on MR a share of the brightest tissue round the globe.
GlobeInside look_inside(const VoxelGrid& grid, const SeriesDescription& description, const PolarBlock& block) {
    constexpr double least_step_hu = 12.0, least_step_share = 0.12, brightest = 0.9;
    GlobeInside inside;
    inside.down = description.down.value_or(inside.down);
    const double least_step = description.modality == Modality::ct ? least_step_hu : least_step_share * block.orbit_signal(brightest);
    if (least_step > 0.0) inside.cavity = read_cavity(grid, description.modality, block.globe(), inside.down, least_step);
    inside.lens = read_lens_profile(grid, block.globe());
    return inside;
}

/// Nothing of what the equations of conventional sequences do not describe: gradient echoes prepared by an inversion.
std::optional<MrTiming> timing_of(const SeriesDescription& d) {
    constexpr double shortest_spin_echo_repetition_ms = 200.0, shortest_spin_echo_ms = 5.0;
    if (d.modality != Modality::mr || !d.repetition_time_ms || !d.echo_time_ms || !(*d.repetition_time_ms > 0.0) || !(*d.echo_time_ms > 0.0)) return std::nullopt;
    if (d.inversion_time_ms && *d.echo_time_ms < shortest_spin_echo_ms) return std::nullopt;
    MrTiming timing{*d.repetition_time_ms, *d.echo_time_ms, d.inversion_time_ms};
    if (timing.repetition_ms < shortest_spin_echo_repetition_ms) timing.flip_deg = d.flip_angle_deg.value_or(25.0);
    return timing;
}

/// Fluid at about 10 HU; sclera and uvea at about 55 (common practice, no source).
constexpr WallSignals watery_ct{10.0, 55.0, 30.0};

/// On CT: whatever fills the globe, the wall is sought as if it were vitreous.
std::optional<AsIfVitreous> emptied(const VoxelGrid& grid, const SeriesDescription& description, const Globe& globe, const GlobeInside& inside) {
    if (description.modality != Modality::ct || !inside.cavity) return std::nullopt;
    return as_if_vitreous(grid, globe, *inside.cavity, watery_ct);
}

/// A series of which nobody knows what it shows is not looked at.
void take_role(SeriesViews& views) {
    for (auto& eye : views.eye) {
        if (!eye) continue;
        if (views.role_by_image)
            eye->role = *views.role_by_image;
        else
            eye.reset();
    }
    if (!views.role_by_image) views.missing = {};
}

/// One eye, and what makes the series less fit for looking round it, in words.
struct SeenEye {
    EyeView view;
    std::vector<std::string> problems;
};

SeenEye see_eye(const SeriesInVisit& in_visit, Eye eye, const GlobeCandidate& own, const std::optional<GlobeCandidate>& other) {
    const SeriesDescription& description = in_visit.series->description;
    const VoxelGrid& grid = in_visit.series->grid();
    std::optional<PatientPoint> other_centre;
    if (other) other_centre = other->centre;
    Globe globe = fit_globe(grid, description.modality, eye, own, other_centre);
    PolarBlock block(grid, globe);
    GlobeInside inside = look_inside(grid, description, block);
    std::optional<VoxelGrid> shown_empty;
    if (auto filled = emptied(grid, description, globe, inside)) {
        // Where the fit told two fluids apart it followed the wall about both.
        if (filled->place && !globe.layered) {
            globe = fit_globe(filled->grid, description.modality, eye, *filled->place, other_centre);
            inside = look_inside(grid, description, PolarBlock(grid, globe));
        }
        globe.interior_mean = watery_ct.vitreous;
        block = PolarBlock(filled->grid, globe);
        shown_empty = std::move(filled->grid);
    }
    std::vector<std::string> problems = in_words(globe_quality(grid, description.modality, globe), description.modality, globe);
    return {{in_visit.index, description.modality, description.role, description.kvp.value_or(120.0), std::move(block), std::move(inside), std::move(shown_empty), {}, timing_of(description)},
            std::move(problems)};
}

/// A series with its eyes found and fitted.
struct SeenSeries {
    Sought sought;
    std::array<std::optional<SeenEye>, 2> eye;
};

SeriesViews joined(const ImageSeries& series, SeenSeries seen) {
    const VoxelGrid& grid = series.grid();
    const Modality modality = series.description.modality;
    SeriesViews views;
    views.missing = seen.sought.missing;
    for (const auto& words : {seen.sought.problem, seen.sought.conflict})
        if (words) views.problems.push_back(*words);
    views.conflict = std::move(seen.sought.conflict);
    for (const std::size_t which : {0u, 1u}) {
        if (!seen.eye[which]) continue;
        views.eye[which].emplace(std::move(seen.eye[which]->view));
        std::move(seen.eye[which]->problems.begin(), seen.eye[which]->problems.end(), std::back_inserter(views.problems));
    }
    if (views.eye[0] && views.eye[1]) {
        const std::array<EyeBrightness, 2> bright{brightness(views.eye[0]->block), brightness(views.eye[1]->block)};
        views.head = head_landmarks(grid, modality, views.eye[0]->block.globe(), views.eye[1]->block.globe());
        if (is_silent(series.description)) views.role_by_image = role_by_image(bright);
        if (auto words = contradiction(series.description.role, bright)) views.problems.push_back(std::move(*words));
    }
    if (is_silent(series.description)) take_role(views);
    for (const std::size_t which : {0, 1}) {
        std::optional<PatientPoint> other_centre;
        if (const auto& other = views.eye[1 - which]) other_centre = other->block.globe().frame.origin();
        if (auto& eye = views.eye[which]) eye->recti = read_recti(grid, modality, eye->role, eye->block.globe(), other_centre);
    }
    const FoundGlobes& found = seen.sought.globes;
    if (const auto& any = found.right ? found.right : found.left) {
        const double cut = head_on_border(grid, modality, any->centre);
        if (cut > told_border) views.problems.push_back(border_in_words(cut, modality));
    }
    return views;
}

}  // namespace

std::vector<SeriesViews> view_all(const std::vector<SeriesInVisit>& all, int threads, const std::function<void()>& viewed) {
    std::vector<SeenSeries> seen(all.size());
    std::vector<SeriesViews> views(all.size());
    share_tasks(threads, all.size(), [&](std::size_t s) { seen[s].sought = seek(*all[s].series); });
    share_tasks(threads, 2 * all.size(), [&](std::size_t k) {
        const std::size_t s = k / 2, which = k % 2;
        const FoundGlobes& found = seen[s].sought.globes;
        const auto &own = which == 0 ? found.right : found.left, &other = which == 0 ? found.left : found.right;
        if (own) seen[s].eye[which] = see_eye(all[s], both_eyes[which], *own, other);
    });
    share_tasks(threads, all.size(), [&](std::size_t s) {
        views[s] = joined(*all[s].series, std::move(seen[s]));
        viewed();
    });
    return views;
}

SeriesViews view_series(const ImageSeries& series, std::size_t index) { return std::move(view_all({{&series, index}}, 1, [] {}).front()); }

}  // namespace perisclera
