// SPDX-License-Identifier: Apache-2.0
#include "element_layout.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <numeric>

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;

}  // namespace

ElementLayout lay_out(const PolarBlock& block, const FoundElement& element) {
    ElementLayout out{std::vector<double>(static_cast<std::size_t>(clocks * polars)), std::vector<double>(clocks), std::vector<double>(clocks)};
    double placed = 0.0;
    for (const ElementCell& cell : element.cells) {
        const PolarCell c = PolarBlock::cell(cell.index);
        const auto share = static_cast<double>(cell.share);
        const double v = share * block.cell_volume_mm3(c), angle = PolarBlock::clock_hours(c.clock) * std::numbers::pi / 6.0;
        out.thickness[ElementLayout::column(c.clock, c.polar)] += share * PolarBlock::height_step_mm;
        out.area[static_cast<std::size_t>(c.clock)] += share * block.cell_area_mm2(c);
        out.volume[static_cast<std::size_t>(c.clock)] += v;
        out.total += v;
        // Noise makes shares below nothing, which have no place.
        const double weight = std::max(v, 0.0);
        placed += weight;
        out.sum_x += weight * std::sin(angle);
        out.sum_y += weight * std::cos(angle);
        out.polar += weight * PolarBlock::polar_radians(c.polar);
        out.height += weight * PolarBlock::height_mm(c.height);
    }
    constexpr double least_mm3 = 1e-6;
    out.total = std::max(out.total, least_mm3);
    out.polar = placed > 0.0 ? out.polar / placed : 0.5 * std::numbers::pi;
    out.height = placed > 0.0 ? out.height / placed : 0.0;
    return out;
}

std::vector<double> smoothed_round(const std::vector<double>& v, int half) {
    std::vector<double> out(v.size());
    const int n = static_cast<int>(v.size());
    for (int i = 0; i < n; ++i) {
        double sum = 0.0;
        for (int k = -half; k <= half; ++k) sum += v[static_cast<std::size_t>((i + k + n) % n)];
        out[static_cast<std::size_t>(i)] = sum / (2 * half + 1);
    }
    return out;
}

void even_out_ring(ElementLayout& layout) {
    std::vector<double> sorted = smoothed_round(layout.volume, 2);
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    layout.total = std::max(*middle, 0.0) * clocks;
}

int clock_of_rank(const std::vector<double>& area, double rank) {
    std::vector<int> order(area.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return area[static_cast<std::size_t>(a)] < area[static_cast<std::size_t>(b)]; });
    return order[static_cast<std::size_t>(rank * static_cast<double>(order.size() - 1))];
}

ClockExtent clock_extent(const std::vector<double>& volume, double share) {
    const std::vector<double> v = smoothed_round(volume, 1);
    std::vector<double> sorted = v;
    std::sort(sorted.begin(), sorted.end(), std::greater<>());
    double total = 0.0;
    for (const double x : sorted) total += std::max(x, 0.0);
    double half = 0.0, typical = 0.0;
    for (const double x : sorted) {
        half += x;
        typical = x;
        if (half >= 0.5 * total) break;
    }
    const double threshold = share * typical;
    // The longest empty stretch separates end from start.
    int best_length = 0, best_end = 0;
    int gaps = 0;
    for (int start = 0; start < clocks; ++start) {
        const auto filled = [&](int i) { return v[static_cast<std::size_t>(((i % clocks) + clocks) % clocks)] >= threshold; };
        if (filled(start) || !filled(start - 1)) continue;
        int length = 0;
        while (length < clocks && !filled(start + length)) ++length;
        if (length >= 5) ++gaps;
        if (length > best_length) best_length = length, best_end = start + length;
    }
    if (best_length < 8) return {0.0, 12.0, gaps};
    const auto at = [&](int i) { return v[static_cast<std::size_t>(((i % clocks) + clocks) % clocks)]; };
    const auto crossing = [&](int inside, int outside) {
        const double a = at(inside), b = at(outside);
        return a > b ? std::clamp((a - threshold) / (a - b), 0.0, 1.0) : 0.5;
    };
    const int first = best_end, last = best_end - best_length - 1 + clocks;
    const double from = first - crossing(first, first - 1), to = last + crossing(last, last + 1);
    return {std::fmod(0.1 * from + 12.0, 12.0), std::clamp(0.1 * (to - from), 0.1, 12.0), std::max(0, gaps - 1)};
}

}  // namespace perisclera
