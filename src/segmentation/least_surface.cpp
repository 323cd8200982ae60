// SPDX-License-Identifier: Apache-2.0
#include "least_surface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;

/// The longest stretch of clock hours that the mask leaves free, and where it ends.
struct FreeHours {
    int count, end;
};
FreeHours free_hours(const std::array<char, clocks>& taken) {
    FreeHours longest{0, 0};
    for (int c = 0; c < clocks; ++c) {
        int n = 0;
        while (n < clocks && !taken[static_cast<std::size_t>((c + n) % clocks)]) ++n;
        if (n > longest.count) longest = {n, (c + n) % clocks};
    }
    return longest;
}

}  // namespace

GridStretch stretch_about(const PolarMask& mask) {
    constexpr int margin = 10;   // about 6 mm along the clock, 5 along the meridian
    constexpr double lowest_mm = -1.5, highest_mm = 11.0;
    std::array<char, clocks> taken{};
    int first = polars - 1, last = 0;
    for (std::size_t i = 0; i < mask.size(); ++i) {
        if (!mask[i]) continue;
        const PolarCell c = PolarBlock::cell(i);
        taken[static_cast<std::size_t>(c.clock)] = 1;
        first = std::min(first, c.polar), last = std::max(last, c.polar);
    }
    const FreeHours free = free_hours(taken);
    GridStretch s{};
    s.round = free.count <= 2 * margin;
    s.first_clock = s.round ? 0 : (free.end - margin + clocks) % clocks;
    s.clocks = s.round ? clocks : clocks - free.count + 2 * margin;
    s.first_polar = std::max(0, first - margin);
    s.polars = std::min(polars - 1, last + margin) - s.first_polar + 1;
    s.first_height = static_cast<int>(std::lround((lowest_mm - PolarBlock::height_first_mm) / PolarBlock::height_step_mm));
    s.heights = static_cast<int>(std::lround((highest_mm - lowest_mm) / PolarBlock::height_step_mm)) + 1;
    return s;
}

std::vector<float> least_surface(const PolarBlock& block, const GridStretch& s, const std::vector<float>& evidence, double surface_mm) {
    constexpr int rounds = 150;
    constexpr double middle_mm = 3.0;   // cells are taken to be as large as at this height
    const double radius = block.equatorial_radius_mm() + middle_mm;
    const auto per_polar = static_cast<float>(1.0 / (radius * PolarBlock::polar_step)), per_height = static_cast<float>(1.0 / PolarBlock::height_step_mm);
    std::vector<float> per_clock;
    for (int p = 0; p < s.polars; ++p)
        per_clock.push_back(static_cast<float>(clocks / (2.0 * std::numbers::pi * radius * std::max(0.3, std::sin(PolarBlock::polar_radians(s.first_polar + p))))));
    const float most_per_clock = *std::max_element(per_clock.begin(), per_clock.end());
    // Its square times that of the gradient's norm stays below 1, without which the rounds do not settle.
    const float step = 0.95f / (2.0f * std::sqrt(per_polar * per_polar + per_height * per_height + most_per_clock * most_per_clock)), most = static_cast<float>(surface_mm);
    struct Flow {
        float clock, polar, height;
    };
    std::vector<float> share(s.size(), 0.0f), ahead(s.size(), 0.0f);
    std::vector<Flow> flow(s.size(), Flow{0.0f, 0.0f, 0.0f});
    const auto after = [&](int c) { return c + 1 < s.clocks ? c + 1 : s.round ? 0 : c; };
    const auto before = [&](int c) { return c > 0 ? c - 1 : s.round ? s.clocks - 1 : -1; };
    for (int round = 0; round < rounds; ++round) {
        for (int c = 0; c < s.clocks; ++c)
            for (int p = 0; p < s.polars; ++p)
                for (int h = 0; h < s.heights; ++h) {
                    const std::size_t i = s.at(c, p, h);
                    Flow f = flow[i];
                    f.clock += step * per_clock[static_cast<std::size_t>(p)] * (ahead[s.at(after(c), p, h)] - ahead[i]);
                    if (p + 1 < s.polars) f.polar += step * per_polar * (ahead[s.at(c, p + 1, h)] - ahead[i]);
                    if (h + 1 < s.heights) f.height += step * per_height * (ahead[i + 1] - ahead[i]);
                    const float length = std::sqrt(f.clock * f.clock + f.polar * f.polar + f.height * f.height), shrink = length > most ? most / length : 1.0f;
                    flow[i] = {f.clock * shrink, f.polar * shrink, f.height * shrink};
                }
        for (int c = 0; c < s.clocks; ++c)
            for (int p = 0; p < s.polars; ++p)
                for (int h = 0; h < s.heights; ++h) {
                    const std::size_t i = s.at(c, p, h);
                    const float in = before(c) >= 0 ? flow[s.at(before(c), p, h)].clock : 0.0f;
                    const float divergence = per_clock[static_cast<std::size_t>(p)] * (flow[i].clock - in) + per_polar * (flow[i].polar - (p > 0 ? flow[s.at(c, p - 1, h)].polar : 0.0f)) +
                                             per_height * (flow[i].height - (h > 0 ? flow[i - 1].height : 0.0f));
                    const float now = std::clamp(share[i] + step * (divergence - evidence[i]), 0.0f, 1.0f);
                    ahead[i] = 2.0f * now - share[i];
                    share[i] = now;
                }
    }
    return share;
}

}  // namespace perisclera
