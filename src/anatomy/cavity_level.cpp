// SPDX-License-Identifier: Apache-2.0
#include "cavity_level.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/core/quantile.h"

namespace perisclera {

namespace {

/// Squared scatter that is left when the layers are parted, and about one straight line: shading runs evenly through the whole.
struct Parting {
    double depth;         ///< between two layers
    double left, line;
};

std::optional<Parting> best_parting(const std::vector<Layer>& layers) {
    constexpr std::size_t fewest = 2;
    if (layers.size() < 2 * fewest) return std::nullopt;
    const auto scatter = [&](std::size_t from, std::size_t to) {
        double n = 0.0, sum = 0.0, squares = 0.0;
        for (std::size_t k = from; k < to; ++k) {
            n += layers[k].count;
            sum += layers[k].count * layers[k].value;
            squares += layers[k].count * layers[k].value * layers[k].value;
        }
        return squares - sum * sum / n;
    };
    Parting best{0.0, scatter(0, layers.size()), 0.0};
    for (std::size_t k = fewest; k + fewest <= layers.size(); ++k) {
        const double left = scatter(0, k) + scatter(k, layers.size());
        if (left < best.left) best.left = left, best.depth = 0.5 * (layers[k - 1].depth + layers[k].depth);
    }
    double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
    for (const Layer& l : layers) n += l.count, x += l.count * l.depth, y += l.count * l.value;
    x /= n, y /= n;
    for (const Layer& l : layers) {
        xx += l.count * (l.depth - x) * (l.depth - x);
        xy += l.count * (l.depth - x) * (l.value - y);
        yy += l.count * (l.value - y) * (l.value - y);
    }
    best.line = yy - xy * xy / xx;
    return best;
}

/// Where the level lies between layers: a layer half way between the two signals is half above it.
double refined(const std::vector<Layer>& layers, double upper, double lower, double parting, double step_mm) {
    constexpr double reach_mm = 3.0;
    double thickness = 0.0, from = parting;
    for (const Layer& layer : layers) {
        if (std::abs(layer.depth - parting) > reach_mm) continue;
        from = std::min(from, layer.depth - 0.5 * step_mm);
        thickness += step_mm * std::clamp((layer.value - lower) / (upper - lower), 0.0, 1.0);
    }
    return from + thickness;
}

/// Is the interface a plane across gravity? In the middle and on four sides it must lie at one depth, the upper signal above it and the lower below.
bool is_flat(const CavitySamples& samples, double upper, double lower, double depth) {
    constexpr double off_mm = 3.5, column_mm = 3.0, reach_mm = 4.5, most_wrong = 0.15, fewest = 6.0;
    constexpr std::size_t fewest_places = 4;
    const double untold_mm = 0.4 + 0.6 * samples.blur_mm, tolerance_mm = 0.7 + 0.2 * samples.blur_mm;
    using Place = bool (*)(const CavitySample&);
    constexpr std::array<Place, 5> places{[](const CavitySample& s) { return std::hypot(s.aside, s.along) < column_mm; }, [](const CavitySample& s) { return s.aside > off_mm; },
                                          [](const CavitySample& s) { return s.aside < -off_mm; }, [](const CavitySample& s) { return s.along > off_mm; },
                                          [](const CavitySample& s) { return s.along < -off_mm; }};
    std::vector<double> depths;
    for (const Place in_place : places) {
        std::vector<CavitySample> here;
        double wrong = 0.0, above = 0.0, below = 0.0;
        for (const CavitySample& s : samples.clear) {
            if (std::abs(s.depth - depth) > reach_mm || !in_place(s)) continue;
            here.push_back(s);
            if (std::abs(s.depth - depth) < untold_mm) continue;
            const bool looks_upper = std::abs(s.value - upper) < std::abs(s.value - lower), is_upper = s.depth < depth;
            wrong += looks_upper == is_upper ? 0.0 : 1.0;
            (is_upper ? above : below) += 1.0;
        }
        if (above < fewest || below < fewest) continue;
        if (wrong > most_wrong * (above + below)) return false;
        depths.push_back(refined(layers_of(here), upper, lower, depth, samples.step_mm));
    }
    if (depths.size() < fewest_places) return false;
    const auto [first, last] = std::minmax_element(depths.begin(), depths.end());
    return *last - *first < tolerance_mm;
}

}  // namespace

Median median_of(std::vector<double> values) {
    const double middle = quantile(values, 0.5);
    for (double& v : values) v = std::abs(v - middle);
    return {middle, 1.4826 * quantile(std::move(values), 0.5)};
}

std::vector<Layer> layers_of(const std::vector<CavitySample>& samples) {
    constexpr std::size_t fewest = 5;
    std::vector<Layer> layers;
    for (std::size_t first = 0; first < samples.size();) {
        std::vector<double> values;
        std::size_t last = first;
        while (last < samples.size() && samples[last].depth == samples[first].depth) values.push_back(samples[last++].value);
        if (values.size() >= fewest) layers.push_back({samples[first].depth, quantile(values, 0.5), static_cast<double>(values.size())});
        first = last;
    }
    return layers;
}

std::optional<SeenLevel> find_level(const CavitySamples& samples, const std::vector<Layer>& layers, double least_step) {
    constexpr std::size_t fewest_on_a_side = 40;
    constexpr double explained = 0.5;  // of the scatter about a line
    const auto parting = best_parting(layers);
    if (!parting || parting->left > explained * parting->line) return std::nullopt;
    const double transition = 0.5 + 0.5 * samples.blur_mm;
    std::vector<double> above, below;
    for (const CavitySample& s : samples.clear)
        if (std::abs(s.depth - parting->depth) > transition) (s.depth < parting->depth ? above : below).push_back(s.value);
    if (above.size() < fewest_on_a_side || below.size() < fewest_on_a_side) return std::nullopt;
    const Median upper = median_of(std::move(above)), lower = median_of(std::move(below));
    if (std::abs(upper.middle - lower.middle) < least_step) return std::nullopt;
    const double depth = refined(layers, upper.middle, lower.middle, parting->depth, samples.step_mm);
    // A thinner layer may be wall, or the lens' back.
    constexpr double least_share = 0.04;
    const auto over = std::count_if(samples.whole.begin(), samples.whole.end(), [&](const CavitySample& s) { return s.depth < depth; });
    const double share = static_cast<double>(over) / static_cast<double>(samples.whole.size());
    if (share < least_share || share > 1.0 - least_share || !is_flat(samples, upper.middle, lower.middle, depth)) return std::nullopt;
    return SeenLevel{depth, upper, lower};
}

}  // namespace perisclera
