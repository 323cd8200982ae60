// SPDX-License-Identifier: Apache-2.0
#include "polar_regions.h"

#include <algorithm>
#include <array>

namespace perisclera {

std::vector<std::vector<std::size_t>> connected_regions(const PolarMask& mask) {
    std::vector<std::vector<std::size_t>> regions;
    PolarMask open = mask;
    for (std::size_t start = 0; start < open.size(); ++start) {
        if (!open[start]) continue;
        std::vector<std::size_t> region{start};
        open[start] = 0;
        for (std::size_t k = 0; k < region.size(); ++k)
            for_each_neighbour(region[k], [&](std::size_t i) {
                if (!open[i]) return;
                open[i] = 0;
                region.push_back(i);
            });
        std::sort(region.begin(), region.end());
        regions.push_back(std::move(region));
    }
    return regions;
}

PolarMask grown(PolarMask mask, int rounds) {
    return grown_where(std::move(mask), rounds, [](std::size_t, std::size_t) { return true; });
}

PolarMask grown_by_mm(const PolarBlock& block, PolarMask mask, double distance_mm) {
    const double radius = block.equatorial_radius_mm();
    const std::array<int, 3> rounds{static_cast<int>(std::lround(distance_mm / (radius * 2.0 * std::numbers::pi / PolarBlock::clock_count))),
                                    static_cast<int>(std::lround(distance_mm / (radius * PolarBlock::polar_step))),
                                    static_cast<int>(std::lround(distance_mm / PolarBlock::height_step_mm))};
    for (int axis = 0; axis < 3; ++axis)
        for (int round = 0; round < rounds[static_cast<std::size_t>(axis)]; ++round) {
            PolarMask next = mask;
            for (std::size_t i = 0; i < mask.size(); ++i) {
                if (!mask[i]) continue;
                const PolarCell c = PolarBlock::cell(i);
                for (const int step : {-1, 1}) {
                    PolarCell k = c;
                    if (axis == 0) k.clock = (c.clock + step + PolarBlock::clock_count) % PolarBlock::clock_count;
                    if (axis == 1) k.polar = std::clamp(c.polar + step, 0, PolarBlock::polar_count - 1);
                    if (axis == 2) k.height = std::clamp(c.height + step, 0, PolarBlock::height_count - 1);
                    next[PolarBlock::index(k.clock, k.polar, k.height)] = 1;
                }
            }
            mask = std::move(next);
        }
    return mask;
}

std::vector<float> flank_background(const PolarBlock& block, const PolarMask& excluded, double lowest, double highest) {
    constexpr int flank_cells = 4, farthest = 8;  // about 1.7 mm of arc on either side, looked for within 3.4 mm
    constexpr int polars = PolarBlock::polar_count, heights = PolarBlock::height_count, clocks = PolarBlock::clock_count;
    std::vector<float> background = block.values();
    std::vector<char> unknown(background.size(), 0);
    std::vector<float> front, back;
    const auto usable = [&](std::size_t i) { return !excluded[i] && static_cast<double>(block.value(i)) >= lowest && static_cast<double>(block.value(i)) <= highest; };
    for (int c = 0; c < clocks; ++c)
        for (int h = 0; h < heights; ++h)
            for (int p = 0; p < polars;) {
                if (!excluded[PolarBlock::index(c, p, h)]) {
                    ++p;
                    continue;
                }
                const int first = p;
                while (p < polars && excluded[PolarBlock::index(c, p, h)]) ++p;
                const int end = p;
                front.clear();
                back.clear();
                for (int k = first - 1; k >= std::max(0, first - farthest) && front.size() < flank_cells; --k)
                    if (usable(PolarBlock::index(c, k, h))) front.push_back(block.value(PolarBlock::index(c, k, h)));
                for (int k = end; k < std::min(polars, end + farthest) && back.size() < flank_cells; ++k)
                    if (usable(PolarBlock::index(c, k, h))) back.push_back(block.value(PolarBlock::index(c, k, h)));
                const bool none = front.empty() && back.empty();
                const double a = none ? 0.0 : quantile(front.empty() ? back : front, 0.5), b = none ? 0.0 : quantile(back.empty() ? front : back, 0.5);
                for (int k = first; k < end; ++k) {
                    const double t = (k - first + 1.0) / (end - first + 1.0);
                    background[PolarBlock::index(c, k, h)] = static_cast<float>(a + (b - a) * t);
                    unknown[PolarBlock::index(c, k, h)] = none;
                }
            }
    const std::vector<float> known = background;
    for (std::size_t i = 0; i < unknown.size(); ++i) {
        if (!unknown[i]) continue;
        const PolarCell cell = PolarBlock::cell(i);
        for (int step = 1; step < clocks / 4; ++step) {
            const std::size_t before = PolarBlock::index((cell.clock + clocks - step) % clocks, cell.polar, cell.height),
                              after = PolarBlock::index((cell.clock + step) % clocks, cell.polar, cell.height);
            const auto sound = [&](std::size_t k) { return excluded[k] ? !unknown[k] : usable(k); };
            if (sound(before) || sound(after)) {
                background[i] = sound(before) && sound(after) ? 0.5f * (known[before] + known[after]) : sound(before) ? known[before] : known[after];
                break;
            }
        }
    }
    return background;
}

std::vector<float> nearest_background(const PolarBlock& block, const PolarMask& excluded, const PolarMask& ignored, double lowest, double highest) {
    std::vector<float> background = block.values();
    PolarMask known(excluded.size(), 0), open(excluded.size(), 0);
    for (std::size_t i = 0; i < excluded.size(); ++i) {
        const auto v = static_cast<double>(block.value(i));
        open[i] = excluded[i] && !ignored[i];
        known[i] = !excluded[i] && !ignored[i] && v >= lowest && v <= highest;
    }
    std::vector<std::size_t> wave;
    for (std::size_t i = 0; i < open.size(); ++i) {
        if (!open[i]) continue;
        bool touches = false;
        for_each_neighbour(i, [&](std::size_t k) { touches = touches || known[k]; });
        if (touches) wave.push_back(i);
    }
    while (!wave.empty()) {
        std::vector<float> values;
        for (const std::size_t i : wave) {
            float sum = 0.0f;
            int n = 0;
            for_each_neighbour(i, [&](std::size_t k) {
                if (!known[k]) return;
                sum += background[k];
                ++n;
            });
            values.push_back(sum / static_cast<float>(n));
        }
        for (std::size_t w = 0; w < wave.size(); ++w) background[wave[w]] = values[w], known[wave[w]] = 1, open[wave[w]] = 0;
        std::vector<std::size_t> next;
        for (const std::size_t i : wave)
            for_each_neighbour(i, [&](std::size_t k) {
                if (!open[k]) return;
                open[k] = 0;
                next.push_back(k);
            });
        wave = std::move(next);
    }
    return background;
}

namespace {

/// What the mirrored fellow shows, spread by the choice between neighbours over the distance by which two eyes differ.
template <class Choose>
std::vector<float> extreme_in_fellow(const PolarBlock& fellow, Choose choose) {
    const std::vector<float>& smooth = fellow.smoothed();
    std::vector<float> mirrored(smooth.size());
    for (std::size_t i = 0; i < smooth.size(); ++i) mirrored[i] = smooth[PolarBlock::mirrored(i)];
    for (int round = 0; round < 4; ++round) {
        std::vector<float> next = mirrored;
        for (std::size_t i = 0; i < mirrored.size(); ++i) for_each_neighbour(i, [&](std::size_t k) { next[i] = choose(next[i], mirrored[k]); });
        mirrored = std::move(next);
    }
    return mirrored;
}

}  // namespace

std::vector<float> highest_in_fellow(const PolarBlock* fellow, float missing) {
    if (fellow == nullptr) return std::vector<float>(PolarBlock::cell_count, missing);
    return extreme_in_fellow(*fellow, [](float a, float b) { return std::max(a, b); });
}

std::vector<float> lowest_in_fellow(const PolarBlock& fellow) {
    return extreme_in_fellow(fellow, [](float a, float b) { return std::min(a, b); });
}

RegionShape shape_of(const PolarBlock& block, const std::vector<std::size_t>& region) {
    RegionShape s;
    std::array<char, PolarBlock::clock_count> seen{};
    s.lowest_mm = s.first_polar = 1e9;
    s.highest_mm = s.last_polar = -1e9;
    for (const std::size_t i : region) {
        const PolarCell c = PolarBlock::cell(i);
        const double v = block.cell_volume_mm3(c), h = PolarBlock::height_mm(c.height), p = PolarBlock::polar_radians(c.polar);
        s.volume_mm3 += v;
        s.mean_height_mm += v * h;
        s.mean_polar += v * p;
        s.lowest_mm = std::min(s.lowest_mm, h);
        s.highest_mm = std::max(s.highest_mm, h);
        s.first_polar = std::min(s.first_polar, p);
        s.last_polar = std::max(s.last_polar, p);
        seen[static_cast<std::size_t>(c.clock)] = 1;
        s.touches_images_end = s.touches_images_end || !block.inside(i);
    }
    s.mean_height_mm /= s.volume_mm3;
    s.mean_polar /= s.volume_mm3;
    s.clock_columns = static_cast<int>(std::count(seen.begin(), seen.end(), 1));
    return s;
}

}  // namespace perisclera
