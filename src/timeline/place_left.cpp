// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/place_left.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/segmentation/fellow_atlas.h"

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

/// Clock positions that an element fills and none of those found at the other date does.
std::vector<int> given_up(const std::array<std::optional<std::array<Range, 2>>, clocks>& filled, const std::vector<const FoundElement*>& found) {
    constexpr int end = 5;   // clock cells beside what is left, where blur and the frames' turn against each other count
    std::array<bool, clocks> at_both{};
    for (const FoundElement* f : found) {
        const auto there = filled_by(*f);
        for (int c = 0; c < clocks; ++c)
            for (int k = -end; k <= end; ++k)
                if (there[static_cast<std::size_t>((c + k + clocks) % clocks)]) at_both[static_cast<std::size_t>(c)] = true;
    }
    std::vector<int> given;
    for (int c = 0; c < clocks; ++c)
        if (filled[static_cast<std::size_t>(c)] && !at_both[static_cast<std::size_t>(c)]) given.push_back(c);
    return given;
}

/// An eye and what its fellow shows at the mirrored place in the head.
class UnlikeFellow {
public:
    explicit UnlikeFellow(const EyeAtDate& eye) : eye_(eye), mirrored_(mirrored_in_head(eye.block, *eye.fellow)) {}
    /// Nothing where either is not imaged.
    [[nodiscard]] std::optional<double> at(int clock, int polar, int height) const {
        if (polar < 0 || polar >= polars || height < 0 || height >= heights) return std::nullopt;
        const auto column = mirrored_[static_cast<std::size_t>(clock * polars + polar)];
        if (!column) return std::nullopt;
        const std::size_t own = PolarBlock::index(clock, polar, height), other = *column * static_cast<std::size_t>(heights) + static_cast<std::size_t>(height);
        if (!eye_.block.inside(own) || !eye_.fellow->inside(other)) return std::nullopt;
        return static_cast<double>(eye_.block.smoothed()[own] - eye_.fellow->smoothed()[other]);
    }

private:
    EyeAtDate eye_;
    std::vector<std::optional<std::size_t>> mirrored_;
};

/// By how much the eye differs from its fellow at the other date as it does at the one that shows the element. The frames of two dates agree to a millimetre or so: where
/// it does most. Nothing where the eye does not differ from its fellow at either.
std::optional<StillShown> unlike_fellow_still(const EyeAtDate& shown, const FoundElement& element, const EyeAtDate& other, const std::vector<int>& clocks_given_up) {
    constexpr int along = 3;
    constexpr float half = 0.5f;
    constexpr double hardly = 0.3;
    const UnlikeFellow then(shown), now(other);
    std::array<bool, clocks> given{};
    for (const int c : clocks_given_up) given[static_cast<std::size_t>(c)] = true;
    float most = 0.0f;
    for (const ElementCell& c : element.cells) most = std::max(most, c.share);
    struct Cell {
        PolarCell at;
        double differs;
    };
    std::vector<Cell> cells;
    double squares = 0.0;
    for (const ElementCell& c : element.cells) {
        const PolarCell at = PolarBlock::cell(c.index);
        if (c.share < half * most || !given[static_cast<std::size_t>(at.clock)]) continue;
        if (const auto differs = then.at(at.clock, at.polar, at.height)) cells.push_back({at, *differs}), squares += *differs * *differs;
    }
    if (cells.empty() || !(shown.span > 0.0)) return std::nullopt;
    const double telling = std::sqrt(squares / static_cast<double>(cells.size())) / shown.span;
    if (telling < hardly) return std::nullopt;
    std::optional<StillShown> best;
    for (int dp = -along; dp <= along; ++dp)
        for (int dh = -1; dh <= 1; ++dh) {
            double product = 0.0, square = 0.0;
            for (const Cell& c : cells)
                if (const auto differs = now.at(c.at.clock, c.at.polar + dp, c.at.height + dh)) product += c.differs * *differs, square += c.differs * c.differs;
            if (square < 0.5 * squares) continue;   // hardly imaged
            const double share = other.gain * product / square;
            if (!best || share > best->share) best = StillShown{share, telling};
        }
    return best;
}

}  // namespace

std::optional<StillShown> still_stands_out(const EyeAtDate& shown, const FoundElement& element, const EyeAtDate& other, const std::vector<const FoundElement*>& found) {
    const auto filled = filled_by(element);
    const std::vector<int> given = given_up(filled, found);
    if (given.empty()) return std::nullopt;
    if (shown.fellow != nullptr && other.fellow != nullptr)
        if (const auto still = unlike_fellow_still(shown, element, other, given)) return still;
    if (std::abs(element.core_signal - element.background_signal) < 1e-6) return std::nullopt;
    std::vector<double> ratios;
    for (const int c : given) {
        const auto& place = *filled[static_cast<std::size_t>(c)];
        const auto here = standing_out(shown.block, c, place, element.core_signal, element.background_signal);
        const auto there = standing_out(other.block, c, place, element.core_signal / other.gain, element.background_signal / other.gain);
        constexpr double hardly = 0.1;
        if (here && there && *here > hardly) ratios.push_back(*there / *here);
    }
    if (ratios.empty()) return std::nullopt;
    const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
    std::nth_element(ratios.begin(), middle, ratios.end());
    return StillShown{*middle, 0.0};
}

}  // namespace perisclera
