// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/jointly_seen.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "columns.h"
#include "element_shares.h"
#include "perisclera/physics/material_table.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

constexpr double degrees = 57.2958;
constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;
constexpr std::size_t most_series = 4;
/// Evidence times volume that is believed: of drawn eyes without hydrogel none showed more on its wall than 170, of hydrogels on CT and MR all more, and most far
/// more (seed 5 of tests/accuracy.sh).
constexpr double believed_mm3 = 200.0;
// Generic CT numbers (common practice, no source).
constexpr float fat_hu = -95.0f, muscle_hu = 48.0f, air_hu = -1000.0f;

using Signals = std::array<float, most_series>;

/// One series: what both eyes show, and how sure that is.
struct Channel {
    std::size_t view;
    const EyeView* own;
    bool ct, t2;
    std::vector<float> value, fellow;  ///< smoothed; of the fellow not a number beyond its images, so that nothing is near it
    std::vector<float> doubt;          ///< standard uncertainty of `value` as the signal of this place
    float fat, muscle, vitreous;
};

/// Noise and shading, and what a misfit between series of most of a millimetre makes of the slope.
std::vector<float> doubts(const PolarBlock& block, const std::vector<float>& value, double base) {
    constexpr double misfit_mm = 0.7;
    constexpr int reach = 2;
    std::vector<float> out(value.size());
    const double radius = block.equatorial_radius_mm(), per_clock = radius * 2.0 * std::numbers::pi / clocks, per_polar = radius * PolarBlock::polar_step;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const auto at = [&](int clock, int polar, int height) {
            return static_cast<double>(value[PolarBlock::index((clock + clocks) % clocks, std::clamp(polar, 0, polars - 1), std::clamp(height, 0, heights - 1))]);
        };
        const double round = (at(c.clock + reach, c.polar, c.height) - at(c.clock - reach, c.polar, c.height)) / (2 * reach * per_clock * std::sin(PolarBlock::polar_radians(c.polar)));
        const double back = (at(c.clock, c.polar + 1, c.height) - at(c.clock, c.polar - 1, c.height)) / (2.0 * per_polar);
        const double outwards = (at(c.clock, c.polar, c.height + 1) - at(c.clock, c.polar, c.height - 1)) / (2.0 * PolarBlock::height_step_mm);
        out[i] = static_cast<float>(std::hypot(base, misfit_mm * std::sqrt(round * round + back * back + outwards * outwards)));
    }
    return out;
}

std::vector<Channel> channels_of(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow) {
    std::vector<Channel> channels;
    for (std::size_t v = 0; v < own.size() && channels.size() < most_series; ++v) {
        if (own[v] == nullptr || fellow[v] == nullptr || !serves_as_atlas(own[v]->block, fellow[v]->block)) continue;
        const auto settings = finder_settings(own[v]->modality, own[v]->role, own[v]->kvp);
        if (!settings || (settings->modality == Modality::mr && (!settings->voids || own[v]->role == SeriesRole::pd))) continue;
        const PolarBlock &block = own[v]->block, &other = fellow[v]->block;
        const auto both = [&](double q) { return static_cast<float>(0.5 * (block.orbit_signal(q) + other.orbit_signal(q))); };
        // Oil, blood and gas are darker than vitreous on T2, and the first two brighter on T1.
        const auto [darker, brighter] = std::minmax(block.globe().interior_mean, other.globe().interior_mean);
        constexpr double fat_quantile = 0.85, muscle_quantile = 0.2, shading_hu = 8.0, of_noise = 0.4, shading_share = 0.04;
        Channel c{v, own[v], settings->modality == Modality::ct, settings->t2_weighted, block.smoothed(), other.smoothed(), {}, both(fat_quantile), both(muscle_quantile), 0.0f};
        c.vitreous = static_cast<float>(c.t2 ? brighter : darker);
        for (std::size_t i = 0; i < c.fellow.size(); ++i)
            if (!other.inside(i)) c.fellow[i] = std::numeric_limits<float>::quiet_NaN();
        if (c.ct) c.fat = fat_hu, c.muscle = muscle_hu;
        if (!c.ct && !(c.fat > 1.4f * c.muscle && c.muscle > 0.0f && c.vitreous > 0.0f)) continue;  // fat and muscle alike: nothing to tell apart
        c.doubt = doubts(block, c.value, c.ct ? std::hypot(shading_hu, of_noise * block.globe().interior_spread) : shading_share * static_cast<double>(c.fat));
        channels.push_back(std::move(c));
    }
    return channels;
}

/// Looks at one cell on all series.
class JointLook {
public:
    JointLook(const std::vector<Channel>& channels, const PolarBlock& own, const PolarBlock& fellow)
        : channels_(channels), in_head_(mirrored_in_head(own, fellow)), has_ct_(std::any_of(channels.begin(), channels.end(), [](const Channel& c) { return c.ct; })) {
        constexpr int steps = 10;
        for (const auto& [from, to] : {std::pair{0, 1}, std::pair{0, 2}, std::pair{1, 2}})
            for (int k = 0; k <= steps; ++k) {
                Signals mixture{};
                for (std::size_t c = 0; c < channels.size(); ++c) {
                    const std::array<float, 3> pure{channels[c].muscle, channels[c].fat, channels[c].ct ? air_hu : 0.0f};
                    mixture[c] = std::lerp(pure[static_cast<std::size_t>(from)], pure[static_cast<std::size_t>(to)], static_cast<float>(k) / steps);
                }
                mixtures_.push_back(mixture);
            }
    }

    /// By how much hydrogel explains the cell better than what is normal, natural logarithm of the likelihoods' ratio; nothing to say is 0.
    [[nodiscard]] double evidence(std::size_t i) const {
        if (!is_even(i)) return 0.0;
        const double hydrogel = from_hydrogel(i);
        if (hydrogel > furthest) return 0.0;
        return 0.5 * (from_normal(i, hydrogel) - hydrogel);
    }

    /// Sums of squares, in units of the doubt.
    [[nodiscard]] double apart(std::size_t i, const Signals& from) const {
        double sum = 0.0;
        for (std::size_t c = 0; c < channels_.size(); ++c) {
            const double z = static_cast<double>((channels_[c].value[i] - from[c]) / channels_[c].doubt[i]);
            sum += z * z;
        }
        return sum;
    }

private:
    static constexpr double furthest = 20.0, most_normal = 30.0;

    /// Where a series changes fast its signal is a mixture that a misfit between series can turn into anything.
    [[nodiscard]] bool is_even(std::size_t i) const {
        constexpr float ct_hu = 25.0f, t1_share = 0.12f, t2_share = 0.14f;
        return std::all_of(channels_.begin(), channels_.end(), [&](const Channel& c) {
            if (!c.own->block.inside(i) || c.doubt[i] > (c.ct ? ct_hu : (c.t2 ? t2_share : t1_share) * c.fat)) return false;
            // Without CT a watery mass is not told from fat, which T2 shows as bright.
            constexpr float below_fat = 0.75f;
            return has_ct_ || !c.t2 || c.value[i] < below_fat * c.fat;
        });
    }

    [[nodiscard]] double from_hydrogel(std::size_t i) const {
        // T1 of swollen hydrogel is not known: from a little less than fluid to what relaxes as fast as soft tissue.
        constexpr double t1_lowest = 0.8, t1_highest = 3.5, least_water = 0.35, most_water = 0.95, step = 0.05;
        double nearest = 1e9;
        for (double water = least_water; water <= most_water; water += step) {
            double sum = 0.0;
            for (const Channel& c : channels_) {
                const double vitreous = static_cast<double>(c.vitreous), value = static_cast<double>(c.value[i]), doubt = static_cast<double>(c.doubt[i]);
                double z = 0.0;
                if (c.ct) {
                    const Expected e = hydrogel_hu(water);
                    z = (value - e.mean) / std::hypot(e.spread, doubt);
                } else if (c.t2) {
                    const Expected e = hydrogel_t2_to_vitreous(water);
                    z = (value / vitreous - e.mean) / std::hypot(e.spread, doubt / vitreous);
                } else {
                    z = (value - std::clamp(value, t1_lowest * vitreous, t1_highest * vitreous)) / doubt;
                }
                sum += z * z;
            }
            nearest = std::min(nearest, sum);
        }
        return nearest;
    }

    /// Distance from the nearest of all that is normal; once it is no further than `enough` the exact figure does not matter.
    [[nodiscard]] double from_normal(std::size_t i, double enough) const {
        double nearest = most_normal;
        for (const Signals& mixture : mixtures_) nearest = std::min(nearest, apart(i, mixture));
        const PolarCell at = PolarBlock::cell(i);
        nearest = nearest_in_fellow(i, (clocks - at.clock) % clocks, at.polar, nearest, enough);
        if (const auto place = in_head_[column(at.clock, at.polar)]) {
            const ColumnAt there = column_at(*place);
            nearest = nearest_in_fellow(i, there.clock, there.polar, nearest, enough);
        }
        return nearest;
    }

    /// Two eyes differ by gaze, muscles and lids: 3.8 mm along the clock, 2.5 mm along the meridian and 1.5 mm in height are searched.
    [[nodiscard]] double nearest_in_fellow(std::size_t i, int clock, int polar, double nearest, double enough) const {
        constexpr int clock_reach = 6, polar_reach = 6, height_reach = 3, stride = 2;
        const int height = PolarBlock::cell(i).height;
        for (int dc = -clock_reach; dc <= clock_reach; dc += stride)
            for (int p = std::max(0, polar - polar_reach); p <= std::min(polars - 1, polar + polar_reach); p += stride)
                for (int h = std::max(0, height - height_reach); h <= std::min(heights - 1, height + height_reach) && nearest > enough; ++h) {
                    const std::size_t k = PolarBlock::index((clock + dc + clocks) % clocks, p, h);
                    Signals there{};
                    for (std::size_t c = 0; c < channels_.size(); ++c) there[c] = channels_[c].fellow[k];
                    nearest = std::min(nearest, apart(i, there));
                }
        return nearest;
    }

    const std::vector<Channel>& channels_;
    std::vector<std::optional<std::size_t>> in_head_;
    bool has_ct_;
    std::vector<Signals> mixtures_;
};

/// Cells that hydrogel explains far better than what is normal, where an element lies: on the wall, behind the limbus, before the muscle cone.
PolarMask unlike_normal(const JointLook& look, std::vector<float>& evidence) {
    constexpr double lowest_mm = 0.5, highest_mm = 9.0, first_deg = 48.0, last_deg = 122.0;
    constexpr float least = 2.0f;
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const double h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar) * degrees;
        if (h < lowest_mm || h > highest_mm || p < first_deg || p > last_deg) continue;
        evidence[i] = static_cast<float>(look.evidence(i));
        mask[i] = evidence[i] > least;
    }
    return mask;
}

bool lies_as_element(const PolarBlock& block, const RegionShape& shape) {
    constexpr double least_mm3 = 40.0, starts_mm = 1.5, reaches_mm = 2.5, foremost_mm = 6.0;
    const double arc = block.limbus_arc_mm(shape.mean_polar);
    return shape.volume_mm3 >= least_mm3 && shape.lowest_mm <= starts_mm && shape.highest_mm >= reaches_mm && arc > foremost_mm && arc < hindmost_middle_mm;
}

/// The region was kept clear of every edge; given back as far as cells are nearer to what it shows than to muscle and fat.
PolarMask grown_to_edges(const std::vector<Channel>& channels, const JointLook& look, const std::vector<std::size_t>& region) {
    constexpr int rounds = 4;  // the edges' doubt kept off about 2 mm
    Signals inside{}, fat{}, muscle{};
    for (std::size_t c = 0; c < channels.size(); ++c) {
        std::vector<float> values;
        for (const std::size_t i : region) values.push_back(channels[c].value[i]);
        inside[c] = static_cast<float>(quantile(std::move(values), 0.5));
        fat[c] = channels[c].fat, muscle[c] = channels[c].muscle;
    }
    PolarMask mask(PolarBlock::cell_count, 0);
    for (const std::size_t i : region) mask[i] = 1;
    for (int round = 0; round < rounds; ++round) {
        const PolarMask wider = grown(mask, 1);
        for (std::size_t i = 0; i < mask.size(); ++i) {
            if (mask[i] || !wider[i] || PolarBlock::height_mm(PolarBlock::cell(i).height) < 0.0) continue;
            const double own = look.apart(i, inside);
            mask[i] = own < look.apart(i, fat) && own < look.apart(i, muscle);
        }
    }
    return mask;
}

}  // namespace

std::vector<EyeElement> hydrogels_seen_jointly(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow) {
    const std::vector<Channel> channels = channels_of(own, fellow);
    if (channels.size() < 2) return {};
    // CT is the sharpest, and tells best where fat begins; of MR T1.
    const auto lead = std::min_element(channels.begin(), channels.end(), [](const Channel& a, const Channel& b) { return std::pair(!a.ct, a.t2) < std::pair(!b.ct, b.t2); });
    const EyeView& measured_on = *lead->own;
    const JointLook look(channels, measured_on.block, fellow[lead->view]->block);
    std::vector<float> evidence(PolarBlock::cell_count, 0.0f);
    std::vector<EyeElement> seen;
    for (const auto& region : connected_regions(unlike_normal(look, evidence))) {
        if (!lies_as_element(measured_on.block, shape_of(measured_on.block, region))) continue;
        double strength = 0.0;
        for (const std::size_t i : region) strength += static_cast<double>(evidence[i]) * measured_on.block.cell_volume_mm3(PolarBlock::cell(i)) / believed_mm3;
        if (strength < 1.0) continue;
        const PolarMask mask = grown_to_edges(channels, look, region);
        std::vector<std::size_t> cells;
        ColumnMask columns(column_count, 0);
        for (std::size_t i = 0; i < mask.size(); ++i)
            if (mask[i]) cells.push_back(i);
        for (const std::size_t i : region) columns[i / heights] = 1;
        std::vector<SureColumn> sure;
        for (std::size_t k = 0; k < columns.size(); ++k)
            if (columns[k]) sure.push_back({k, 0.0f});
        EyeElement element{lead->view, with_shares(measured_on.block, {std::move(cells), strength, false, std::move(sure)}, lead->ct ? Appearance::ct_mass : Appearance::mr_mass, measured_on.kvp), {}};
        element.found.own_signs = true;
        for (const Channel& c : channels)
            if (c.view != lead->view) element.also_seen_in.push_back(c.view);
        seen.push_back(std::move(element));
    }
    return seen;
}

}  // namespace perisclera
