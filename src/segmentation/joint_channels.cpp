// SPDX-License-Identifier: Apache-2.0
#include "joint_channels.h"

#include <limits>

#include "element_shares.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

constexpr double degrees = 57.2958;

}  // namespace

std::vector<JointChannel> joint_channels(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow) {
    // Generic CT numbers (common practice, no source).
    constexpr float fat_hu = -95.0f, muscle_hu = 48.0f;
    constexpr double fat_quantile = 0.85, muscle_quantile = 0.2;
    std::vector<JointChannel> channels;
    for (std::size_t v = 0; v < own.size() && channels.size() < most_joint_series; ++v) {
        if (own[v] == nullptr || fellow[v] == nullptr || own[v]->kept_apart || fellow[v]->kept_apart || !serves_as_atlas(own[v]->block, fellow[v]->block)) continue;
        const auto settings = finder_settings(own[v]->modality, own[v]->role, own[v]->kvp);
        if (!settings || (settings->modality == Modality::mr && (!settings->voids || own[v]->role == SeriesRole::pd))) continue;
        const PolarBlock &block = own[v]->block, &other = fellow[v]->block;
        JointChannel c{v, own[v], settings->modality == Modality::ct, settings->t2_weighted, block.smoothed(), other.smoothed(), fat_hu, muscle_hu, 0.0f};
        // Oil, blood and gas are darker than vitreous on T2, and the first two brighter on T1.
        const auto [darker, brighter] = std::minmax(block.globe().interior_mean, other.globe().interior_mean);
        c.vitreous = static_cast<float>(c.t2 ? brighter : darker);
        if (!c.ct) {
            const auto both = [&](double q) { return static_cast<float>(0.5 * (block.orbit_signal(q) + other.orbit_signal(q))); };
            c.fat = both(fat_quantile), c.muscle = both(muscle_quantile);
            if (!(c.fat > 1.4f * c.muscle && c.muscle > 0.0f && c.vitreous > 0.0f)) continue;  // fat and muscle alike: nothing to tell apart
        }
        for (std::size_t i = 0; i < c.fellow.size(); ++i)
            if (!other.inside(i)) c.fellow[i] = std::numeric_limits<float>::quiet_NaN();
        channels.push_back(std::move(c));
    }
    return channels;
}

FellowPlaces::FellowPlaces(const PolarBlock& own, const PolarBlock& fellow) : own_(own.globe().eye), in_head_(mirrored_in_head(own, fellow)) {
    for (int c = 0; c < PolarBlock::clock_count; c += 2)
        for (int p = 0; p < PolarBlock::polar_count; p += 2)
            for (int h = 0; h < PolarBlock::height_count; h += 2)
                if (in_gland_place(perisclera::fellow(own_), {c, p, h})) fellow_gland_.push_back(PolarBlock::index(c, p, h));
}

bool FellowPlaces::in_gland_place(Eye eye, PolarCell cell) {
    constexpr double most_hours = 3.5, first_deg = 45.0, last_deg = 100.0, lowest_mm = 1.0;
    const double clock = PolarBlock::clock_hours(cell.clock), towards_temple = eye == Eye::left ? clock : std::fmod(12.0 - clock, 12.0), polar = PolarBlock::polar_radians(cell.polar) * degrees;
    return towards_temple <= most_hours && polar >= first_deg && polar <= last_deg && PolarBlock::height_mm(cell.height) >= lowest_mm;
}

bool may_hold_element(PolarCell cell, const ColumnMask& left_out) {
    constexpr double lowest_mm = 0.5, first_deg = 48.0, last_deg = 122.0;
    const double h = PolarBlock::height_mm(cell.height), p = PolarBlock::polar_radians(cell.polar) * degrees;
    return h >= lowest_mm && h <= highest_held_mm && p >= first_deg && p <= last_deg && !left_out[column(cell.clock, cell.polar)];
}

bool is_watery(const std::vector<JointChannel>& channels, std::size_t i) {
    constexpr float brighter = 1.3f;
    float t1 = 0.0f, t2 = std::numeric_limits<float>::max();
    for (const JointChannel& c : channels)
        if (c.t2)
            t2 = std::min(t2, c.value[i] / c.fat);
        else if (!c.ct)
            t1 = std::max(t1, c.value[i] / c.fat);
    return t2 > brighter * t1;
}

double darker_than_normal(const std::vector<JointChannel>& channels, const FellowPlaces& fellow, std::size_t i) {
    constexpr float shading_share = 0.05f;   // noise and shading, of fat
    constexpr int height_reach = 1;   // the dark wall is no excuse further out
    double nearest = 1e9;
    const auto hold_against = [&](const auto& normal) {
        double sum = 0.0;
        for (std::size_t c = 0; c < channels.size(); ++c) {
            const float darker = (normal(channels[c]) - channels[c].value[i]) / (shading_share * channels[c].fat);
            if (!(darker <= 0.0f)) sum += static_cast<double>(darker * darker);  // not a number stays so, and is nearest to nothing
        }
        nearest = std::min(nearest, sum);
        return nearest > 0.0;
    };
    if (hold_against([](const JointChannel& c) { return c.muscle; })) fellow.look_near(i, height_reach, [&](std::size_t k) { return hold_against([k](const JointChannel& c) { return c.fellow[k]; }); });
    return nearest;
}

EyeElement element_on(const std::vector<JointChannel>& channels, const JointChannel& lead, const std::vector<std::size_t>& region, std::vector<std::size_t> cells, Appearance appearance, double strength) {
    ColumnMask columns(column_count, 0);
    for (const std::size_t i : region) columns[column(PolarBlock::cell(i).clock, PolarBlock::cell(i).polar)] = 1;
    std::vector<SureColumn> sure;
    for (std::size_t k = 0; k < columns.size(); ++k)
        if (columns[k]) sure.push_back({k, 0.0f});
    EyeElement element{lead.view, with_shares(lead.own->block, {std::move(cells), strength, false, std::move(sure)}, appearance, lead.own->kvp), {}};
    element.found.own_signs = true;
    for (const JointChannel& c : channels)
        if (c.view != lead.view) element.also_seen_in.push_back(c.view);
    return element;
}

void count_whole_where_hidden(const PolarBlock& block, FoundElement& element, const std::vector<std::size_t>& region, double least_share) {
    if (volume_mm3(block, element) > least_share * shape_of(block, region).volume_mm3) return;
    element.cells.clear();
    for (const std::size_t i : region) element.cells.push_back({i, 1.0f});
}

}  // namespace perisclera
