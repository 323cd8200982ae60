// SPDX-License-Identifier: Apache-2.0
#include "hydrogel_look.h"

#include <algorithm>
#include <cmath>

#include "perisclera/physics/material_table.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;
constexpr float air_hu = -1000.0f;
/// Sums of squares: beyond the one no hydrogel explains a cell, beyond the other nothing normal does.
constexpr double furthest = 20.0, most_normal = 30.0;

/// Standard uncertainty of what a channel shows, as the signal of its place: noise and shading, and what a misfit between series of most of a millimetre makes of
/// the slope.
std::vector<float> doubts(const JointChannel& channel) {
    constexpr double misfit_mm = 0.7, shading_hu = 8.0, of_noise = 0.4, shading_share = 0.04;
    constexpr int reach = 2;
    const PolarBlock& block = channel.own->block;
    const double even = std::hypot(channel.ct ? shading_hu : shading_share * static_cast<double>(channel.fat), of_noise * block.globe().interior_spread);
    const double radius = block.equatorial_radius_mm(), per_clock = radius * 2.0 * std::numbers::pi / clocks, per_polar = radius * PolarBlock::polar_step;
    std::vector<float> out(channel.value.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const auto at = [&](int clock, int polar, int height) {
            return static_cast<double>(channel.value[PolarBlock::index((clock + clocks) % clocks, std::clamp(polar, 0, polars - 1), std::clamp(height, 0, heights - 1))]);
        };
        const double round = (at(c.clock + reach, c.polar, c.height) - at(c.clock - reach, c.polar, c.height)) / (2 * reach * per_clock * std::sin(PolarBlock::polar_radians(c.polar)));
        const double back = (at(c.clock, c.polar + 1, c.height) - at(c.clock, c.polar - 1, c.height)) / (2.0 * per_polar);
        const double outwards = (at(c.clock, c.polar, c.height + 1) - at(c.clock, c.polar, c.height - 1)) / (2.0 * PolarBlock::height_step_mm);
        out[i] = static_cast<float>(std::hypot(even, misfit_mm * std::sqrt(round * round + back * back + outwards * outwards)));
    }
    return out;
}

}  // namespace

HydrogelLook::HydrogelLook(const std::vector<JointChannel>& channels, const FellowPlaces& fellow, bool watery, double least_water)
    : channels_(channels), fellow_(fellow), watery_(watery), least_water_(least_water) {
    for (const JointChannel& c : channels) doubt_.push_back(doubts(c));
    constexpr int steps = 10;
    for (const auto& [from, to] : {std::pair{0, 1}, std::pair{0, 2}, std::pair{1, 2}})
        for (int k = 0; k <= steps; ++k) {
            JointSignals mixture{};
            for (std::size_t c = 0; c < channels.size(); ++c) {
                const std::array<float, 3> pure{channels[c].muscle, channels[c].fat, channels[c].ct ? air_hu : 0.0f};
                mixture[c] = std::lerp(pure[static_cast<std::size_t>(from)], pure[static_cast<std::size_t>(to)], static_cast<float>(k) / steps);
            }
            mixtures_.push_back(mixture);
        }
}

double HydrogelLook::evidence(std::size_t i) const {
    if (!is_even(i) || (watery_ && !is_watery(channels_, i))) return 0.0;
    const double hydrogel = from_hydrogel(i);
    if (hydrogel > furthest) return 0.0;
    return 0.5 * (from_normal(i, hydrogel) - hydrogel);
}

double HydrogelLook::apart(std::size_t i, const JointSignals& from) const {
    double sum = 0.0;
    for (std::size_t c = 0; c < channels_.size(); ++c) {
        const double z = static_cast<double>((channels_[c].value[i] - from[c]) / doubt_[c][i]);
        sum += z * z;
    }
    return sum;
}

bool HydrogelLook::may_be_hydrogel(std::size_t i) const {
    constexpr double still_likely = 9.0;
    return from_hydrogel(i) <= still_likely;
}

/// Where a series changes fast its signal is a mixture that a misfit between series can turn into anything.
bool HydrogelLook::is_even(std::size_t i) const {
    constexpr float ct_hu = 25.0f, t1_share = 0.12f, t2_share = 0.14f;   // of fat; assumed, as are the limits below, in view of seed 5
    for (std::size_t k = 0; k < channels_.size(); ++k) {
        const JointChannel& c = channels_[k];
        if (!c.own->block.inside(i) || doubt_[k][i] > (c.ct ? ct_hu : (c.t2 ? t2_share : t1_share) * c.fat)) return false;
    }
    return true;
}

double HydrogelLook::from_hydrogel(std::size_t i) const {
    // T1 of swollen hydrogel is not known: from a little less than fluid to what relaxes as fast as soft tissue.
    constexpr double t1_lowest = 0.8, t1_highest = 3.5, most_water = 0.95, step = 0.05;
    double nearest = 1e9;
    for (double water = least_water_; water <= most_water; water += step) {
        double sum = 0.0;
        for (std::size_t k = 0; k < channels_.size(); ++k) {
            const JointChannel& c = channels_[k];
            const double vitreous = static_cast<double>(c.vitreous), value = static_cast<double>(c.value[i]), doubt = static_cast<double>(doubt_[k][i]);
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
double HydrogelLook::from_normal(std::size_t i, double enough) const {
    double nearest = most_normal;
    for (const JointSignals& mixture : mixtures_) nearest = std::min(nearest, apart(i, mixture));
    constexpr int height_reach = 3;
    const auto hold_against = [&](std::size_t k) {
        JointSignals there{};
        for (std::size_t c = 0; c < channels_.size(); ++c) there[c] = channels_[c].fellow[k];
        nearest = std::min(nearest, apart(i, there));
        return nearest > enough;
    };
    fellow_.look_near(i, height_reach, hold_against);
    fellow_.look_in_gland_place(i, hold_against);
    return nearest;
}

JointSignals usual_signals(const std::vector<JointChannel>& channels, const std::vector<std::size_t>& region) {
    JointSignals usual{};
    for (std::size_t c = 0; c < channels.size(); ++c) {
        std::vector<float> values;
        for (const std::size_t i : region) values.push_back(channels[c].value[i]);
        usual[c] = static_cast<float>(quantile(std::move(values), 0.5));
    }
    return usual;
}

std::vector<std::size_t> grown_to_edges(const std::vector<JointChannel>& channels, const HydrogelLook& look, const std::vector<std::size_t>& region) {
    constexpr int rounds = 4;  // the edges' doubt kept off about 2 mm
    const JointSignals inside = usual_signals(channels, region);
    JointSignals fat{}, muscle{};
    for (std::size_t c = 0; c < channels.size(); ++c) fat[c] = channels[c].fat, muscle[c] = channels[c].muscle;
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
    std::vector<std::size_t> cells;
    for (std::size_t i = 0; i < mask.size(); ++i)
        if (mask[i]) cells.push_back(i);
    return cells;
}

}  // namespace perisclera
