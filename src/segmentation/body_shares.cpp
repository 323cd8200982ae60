// SPDX-License-Identifier: Apache-2.0
#include "body_shares.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "perisclera/segmentation/inner_face.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

// Of the figures here those without a source were settled in view of the hydrogels of seeds 5 and 13 of tests/accuracy.sh.
constexpr float fat_hu = -95.0f, muscle_hu = 48.0f, air_hu = -1000.0f;   // generic; common practice, no source

/// A series in the grid of another one of the same eye: the same places in space, though each fitted its own wall.
void bring_over(const PolarBlock& from, const PolarBlock& to, std::vector<float>& value, std::vector<char>& inside) {
    value.assign(PolarBlock::cell_count, 0.0f), inside.assign(PolarBlock::cell_count, 0);
    const std::vector<float>& smooth = from.smoothed();
    for (int c = 0; c < PolarBlock::clock_count; ++c)
        for (int p = 0; p < PolarBlock::polar_count; ++p) {
            const double up = (to.outer_radius_mm(c, p) - from.outer_radius_mm(c, p)) / PolarBlock::height_step_mm;
            for (int h = 0; h < PolarBlock::height_count; ++h) {
                const int low = static_cast<int>(std::floor(h + up));
                if (low < 0 || low + 1 >= PolarBlock::height_count) continue;
                const std::size_t i = PolarBlock::index(c, p, h), below = PolarBlock::index(c, p, low);
                value[i] = std::lerp(smooth[below], smooth[below + 1], static_cast<float>(h + up - low));
                inside[i] = from.inside(below) && from.inside(below + 1);
            }
        }
}

/// Cells of the mask away from its surface, or all where it has no inside.
std::vector<std::size_t> core_of(const PolarMask& mask) {
    constexpr std::size_t enough = 12;
    PolarMask without(mask.size());
    for (std::size_t i = 0; i < mask.size(); ++i) without[i] = !mask[i];
    without = grown(std::move(without), 1);
    std::vector<std::size_t> core, all;
    for (std::size_t i = 0; i < mask.size(); ++i) {
        if (!without[i]) core.push_back(i);
        if (mask[i]) all.push_back(i);
    }
    return core.size() >= enough ? core : all;
}

/// The further from what was found the less likely.
std::vector<float> odds_before(const PolarBlock& block, const PolarMask& found) {
    constexpr int farthest_mm = 5;
    constexpr float where_found = 2.0f, less_per_mm = 0.7f;
    std::vector<float> odds(found.size(), std::exp(-less_per_mm * farthest_mm));
    for (int mm = farthest_mm; mm >= 1; --mm) {
        const PolarMask within = grown_by_mm(block, found, mm);
        for (std::size_t i = 0; i < within.size(); ++i)
            if (within[i]) odds[i] = found[i] ? where_found : std::exp(-less_per_mm * static_cast<float>(mm - 1));
    }
    return odds;
}

}  // namespace

BodyShares::BodyShares(const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow, std::size_t lead, BodySoFar body, const ColumnMask& opposite)
    : block_(views[lead]->block), opposite_(opposite), before_(odds_before(block_, body.found)), inner_face_(inner_faces(*views[lead])) {
    constexpr double near_mm = 1.5, surface_mm = 0.6;
    near_ = grown_by_mm(block_, body.found, near_mm);
    surface_ = grown_by_mm(block_, body.filled, surface_mm);
    if (fellow[lead] != nullptr && serves_as_atlas(block_, fellow[lead]->block)) places_.emplace(block_, fellow[lead]->block);
    const std::vector<std::size_t> core = core_of(body.filled);
    for (std::size_t v = 0; v < views.size() && channels_.size() < most_joint_series; ++v)
        if (v == lead || !(views[v]->kept_apart || views[lead]->kept_apart)) add_channel(views, fellow, lead, v, core);
    for (std::size_t k = 0; k < channels_.size(); ++k) own_[k] = channels_[k].own;
    mix_channels();
    learn_surroundings(body.found);
}

void BodyShares::add_channel(const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow, std::size_t lead, std::size_t view, const std::vector<std::size_t>& core) {
    const EyeView& series = *views[view];
    if (!finder_settings(series.modality, series.role, series.kvp)) return;
    constexpr double fat_quantile = 0.85, muscle_quantile = 0.2, of_noise = 0.4, shading_hu = 8.0, shading_share = 0.06, more_per_slice_mm = 0.25;
    Channel c{};
    c.ct = series.modality == Modality::ct;
    bring_over(series.block, block_, c.value, c.inside);
    std::vector<float> values;
    for (const std::size_t i : core)
        if (c.inside[i]) values.push_back(c.value[i]);
    if (values.empty() || 2 * values.size() < core.size()) return;
    c.own = static_cast<float>(quantile(std::move(values), 0.5));
    c.fat = c.ct ? fat_hu : static_cast<float>(series.block.orbit_signal(fat_quantile));
    c.muscle = c.ct ? muscle_hu : static_cast<float>(series.block.orbit_signal(muscle_quantile));
    c.air = c.ct ? air_hu : 0.0f;
    const double shading = c.ct ? shading_hu : shading_share * static_cast<double>(std::max(c.fat, c.own));
    c.doubt = static_cast<float>(std::hypot(of_noise * series.block.globe().interior_spread, shading) * (1.0 + more_per_slice_mm * series.block.slice_spacing_mm()));
    if (!(c.doubt > 0.0f)) return;
    if (fellow[view] == nullptr || (view != lead && fellow[view]->kept_apart)) places_.reset();
    if (places_) {
        std::vector<char> shown;
        bring_over(fellow[view]->block, fellow[lead]->block, c.fellow, shown);
        for (std::size_t i = 0; i < shown.size(); ++i)
            if (!shown[i]) c.fellow[i] = std::numeric_limits<float>::quiet_NaN();
    }
    channels_.push_back(std::move(c));
}

void BodyShares::mix_channels() {
    constexpr int steps = 10;
    using Part = float Channel::*;
    for (const auto& [from, to] : {std::pair<Part, Part>{&Channel::own, &Channel::fat}, {&Channel::own, &Channel::muscle}, {&Channel::own, &Channel::air},
                                   {&Channel::fat, &Channel::muscle}, {&Channel::fat, &Channel::air}, {&Channel::muscle, &Channel::air}})
        for (int k = 0; k <= steps; ++k) {
            const float t = static_cast<float>(k) / steps;
            Mixture m{{}, from == &Channel::own ? 1.0f - t : 0.0f, k == 0 || k == steps};
            for (std::size_t c = 0; c < channels_.size(); ++c) m.signal[c] = std::lerp(channels_[c].*from, channels_[c].*to, t);
            mixtures_.push_back(m);
        }
}

float BodyShares::apart(std::size_t i, const JointSignals& from) const {
    float sum = 0.0f;
    for (std::size_t k = 0; k < channels_.size(); ++k) {
        const float z = channels_[k].inside[i] ? (channels_[k].value[i] - from[k]) / channels_[k].doubt : 0.0f;
        sum += z * z;
    }
    return sum;
}

bool BodyShares::is_unlike_body(std::size_t i) const {
    constexpr float clearly = 9.0f;   // three standard uncertainties
    return apart(i, own_) >= clearly;
}

/// What lies about the element is squeezed and seldom pure: its signals are learned from this eye, as leaders of groups of cells alike, of places that are clearly not the element.
void BodyShares::learn_surroundings(const PolarMask& found) {
    constexpr double from_mm = 3.5, to_mm = 8.0;
    // Sums of squares, and cells of what is a tissue rather than a blend at some edge: assumed, in view of seed 503 in a real head.
    constexpr float clearly_other = 5.0f, alike = 1.5f;
    constexpr int least_cells = 60;
    const PolarMask near = grown_by_mm(block_, found, from_mm), about = grown_by_mm(block_, found, to_mm);
    struct Group {
        JointSignals signal;
        int cells;
    };
    std::vector<Group> groups;
    for (std::size_t i = 0; i < about.size(); ++i) {
        if (!about[i] || near[i] || !(above_wall(i) >= 1.0f)) continue;
        if (std::any_of(channels_.begin(), channels_.end(), [&](const Channel& c) { return !c.inside[i]; })) continue;
        if (apart(i, own_) < clearly_other) continue;
        const auto group = std::find_if(groups.begin(), groups.end(), [&](const Group& g) { return apart(i, g.signal) < alike; });
        if (group != groups.end()) {
            ++group->cells;
            continue;
        }
        Group mine{{}, 1};
        for (std::size_t k = 0; k < channels_.size(); ++k) mine.signal[k] = channels_[k].value[i];
        groups.push_back(mine);
    }
    for (const Group& g : groups)
        if (g.cells >= least_cells) surroundings_.push_back(g.signal);
}

/// Likelihood of the nearest that the fellow eye shows about the same place, or anywhere in its gland's place where this lies in the gland's place.
float BodyShares::from_fellow(std::size_t i, bool gland_only) const {
    constexpr int height_reach = 2;
    constexpr float as_good_as_the_same = 0.5f;
    float nearest = 1e9f;
    const auto hold_against = [&](std::size_t k) {
        JointSignals there{};
        for (std::size_t c = 0; c < channels_.size(); ++c) there[c] = channels_[c].fellow[k];
        nearest = std::min(nearest, apart(i, there));   // not a number is nearest to nothing
        return nearest > as_good_as_the_same;
    };
    if (!gland_only) places_->look_near(i, height_reach, hold_against);
    places_->look_in_gland_place(i, hold_against);
    return std::exp(-0.5f * nearest);
}

float BodyShares::above_wall(std::size_t i) const {
    const PolarCell at = PolarBlock::cell(i);
    const double above = PolarBlock::height_mm(at.height) - static_cast<double>(inner_face_[column(at.clock, at.polar)]);
    return std::clamp(static_cast<float>(above / PolarBlock::height_step_mm + 0.5), 0.0f, 1.0f);
}

float BodyShares::at(std::size_t i) const {
    constexpr float denser_hu = 70.0f, furthest = 16.0f, of_normal = 0.3f, of_blend = 0.05f, of_gland = 1.0f, of_fellow = 11.0f, of_surroundings = 1.0f;
    const PolarCell at = PolarBlock::cell(i);
    const float above = above_wall(i);
    if (!(above > 0.0f)) return 0.0f;
    float all = 0.0f, share = 0.0f;
    for (const Channel& c : channels_)
        if (c.ct && c.inside[i] && c.value[i] > c.own + denser_hu) return 0.0f;   // bone
    for (const Mixture& m : mixtures_) {
        float apart = 0.0f;
        for (std::size_t k = 0; k < channels_.size(); ++k) {
            const Channel& c = channels_[k];
            const float z = c.inside[i] ? (c.value[i] - m.signal[k]) / c.doubt : 0.0f;
            apart += std::min(z * z, furthest);
        }
        // Against a body's surface what is neither of two tissues is the body mixed with one of them, though other blends may look alike.
        const float before = m.share > 0.0f ? before_[i] : surface_[i] && !m.pure ? of_blend : of_normal;
        const float likely = std::exp(-0.5f * apart) * before;
        all += likely, share += likely * m.share;
    }
    float nearest = std::numeric_limits<float>::max();
    for (const JointSignals& tissue : surroundings_) nearest = std::min(nearest, apart(i, tissue));
    all += std::exp(-0.5f * nearest) * (surface_[i] ? of_blend : of_surroundings);
    // Mixtures at the surface of the element look like much that is normal: close by only the gland is asked, since it is what resembles such an element throughout.
    if (places_ && before_[i] <= 1.0f && !opposite_[column(at.clock, at.polar)]) all += (near_[i] ? of_gland : of_fellow) * from_fellow(i, near_[i]);
    constexpr float nothing = 1e-20f, undecided = 0.5f;
    return above * (all > nothing ? share / all : undecided);
}

}  // namespace perisclera
