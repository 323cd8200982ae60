// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/place_left.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;

struct Range {
    int first, last;
    void take(int i) { first = std::min(first, i), last = std::max(last, i); }
};

/// What an element fills at each clock position: nothing, or polar cells and heights that are at least half full.
std::array<std::optional<std::array<Range, 2>>, clocks> filled_by(const FoundElement& element) {
    constexpr float half = 0.5f;
    std::array<std::optional<std::array<Range, 2>>, clocks> out;
    float most = 0.0f;
    for (const ElementCell& c : element.cells) most = std::max(most, c.share);
    for (const ElementCell& c : element.cells) {
        if (c.share < half * most) continue;
        const PolarCell cell = PolarBlock::cell(c.index);
        auto& here = out[static_cast<std::size_t>(cell.clock)];
        if (!here) here = {Range{cell.polar, cell.polar}, Range{cell.height, cell.height}};
        (*here)[0].take(cell.polar), (*here)[1].take(cell.height);
    }
    return out;
}

/// How far the image stands out from `background` towards `own` at a clock position, where it does so most along the meridian: the eye's frame is known to a millimetre or
/// two. Nothing where it is not imaged.
std::optional<double> standing_out(const PolarBlock& block, int clock, const std::array<Range, 2>& place, double own, double background) {
    constexpr int beside = 4;   // cells of 0.4 mm
    std::optional<double> most;
    for (int p = std::max(0, place[0].first - beside); p <= std::min(polars - 1, place[0].last + beside); ++p)
        for (int h = std::max(0, place[1].first - 1); h <= std::min(heights - 1, place[1].last + 1); ++h) {
            double sum = 0.0;
            int count = 0;
            for (int dp = -1; dp <= 1; ++dp)
                for (int dc = -1; dc <= 1; ++dc) {
                    const std::size_t i = PolarBlock::index((clock + dc + clocks) % clocks, std::clamp(p + dp, 0, polars - 1), h);
                    if (block.inside(i)) sum += static_cast<double>(block.value(i)), ++count;
                }
            constexpr int enough = 6;   // of nine
            if (count < enough) continue;
            const double share = (sum / count - background) / (own - background);
            if (!most || share > *most) most = share;
        }
    return most;
}

}  // namespace

std::optional<double> still_stands_out(const PolarBlock& shown, const FoundElement& element, const PolarBlock& other, const FoundElement* found) {
    constexpr int end = 5;   // clock cells beside what is left, where blur and the frames' turn against each other count
    const auto filled = filled_by(element);
    std::array<bool, clocks> at_both{};
    if (found != nullptr) {
        const auto there = filled_by(*found);
        for (int c = 0; c < clocks; ++c)
            for (int k = -end; k <= end; ++k)
                if (there[static_cast<std::size_t>((c + k + clocks) % clocks)]) at_both[static_cast<std::size_t>(c)] = true;
    }
    if (std::abs(element.core_signal - element.background_signal) < 1e-6) return std::nullopt;
    std::vector<double> ratios;
    for (int c = 0; c < clocks; ++c) {
        const auto& place = filled[static_cast<std::size_t>(c)];
        if (!place || at_both[static_cast<std::size_t>(c)]) continue;
        const auto here = standing_out(shown, c, *place, element.core_signal, element.background_signal);
        const auto there = standing_out(other, c, *place, element.core_signal, element.background_signal);
        constexpr double hardly = 0.1;
        if (here && there && *here > hardly) ratios.push_back(*there / *here);
    }
    if (ratios.empty()) return std::nullopt;
    const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
    std::nth_element(ratios.begin(), middle, ratios.end());
    return *middle;
}

}  // namespace perisclera
