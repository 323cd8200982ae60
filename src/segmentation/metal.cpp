// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/metal.h"

#include <algorithm>
#include <array>

namespace perisclera {

namespace {

constexpr float least_hu = 2500.0f;

PatientPoint place(const PolarBlock& block, std::size_t i) {
    const PolarCell c = PolarBlock::cell(i);
    return block.patient_point(PolarBlock::clock_hours(c.clock), PolarBlock::polar_radians(c.polar), PolarBlock::height_mm(c.height));
}

/// Do the values end in a plateau, as in images kept with fewer bits or through a window? Interpolated values of what was not cut off do not repeat.
bool ends_in_plateau(const PolarBlock& ct, float highest) {
    constexpr std::size_t by_chance = 30;
    constexpr float rounding_hu = 0.5f;
    std::size_t equal = 0;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) equal += ct.inside(i) && ct.value(i) > highest - rounding_hu;
    return equal > by_chance;
}

using ClockSteps = std::array<bool, PolarBlock::clock_count>;

/// Clock steps of one piece, the last perhaps counted on beyond 12 o'clock.
struct Run {
    int first, last;
    [[nodiscard]] ClockPosition middle() const { return ClockPosition(0.5 * (PolarBlock::clock_hours(first) + PolarBlock::clock_hours(last))); }
};

/// Each run of clock steps; those closer than half an hour are one.
std::vector<Run> runs_of(const ClockSteps& seen) {
    constexpr int count = PolarBlock::clock_count, joined = 5;
    const auto gap_before = [&](int clock) {
        for (int back = 1; back <= joined; ++back)
            if (seen[static_cast<std::size_t>((clock - back + count) % count)]) return false;
        return true;
    };
    std::vector<Run> out;
    for (int first = 0; first < count; ++first) {
        if (!seen[static_cast<std::size_t>(first)] || !gap_before(first)) continue;
        int last = first;
        for (int next = first + 1; next <= last + joined; ++next)
            if (seen[static_cast<std::size_t>(next % count)]) last = next;
        out.push_back({first, last});
    }
    // All round without a gap: about 12 o'clock.
    if (out.empty() && std::count(seen.begin(), seen.end(), true) > 0) out.push_back({count / 2, count + count / 2});
    return out;
}

}  // namespace

bool lies_beside_metal(const PolarBlock& ct, const FoundElement& element) {
    constexpr double reach_mm = 15.0;
    std::vector<PatientPoint> metal;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i)
        if (ct.inside(i) && ct.value(i) > least_hu) metal.push_back(place(ct, i));
    if (metal.empty()) return false;
    return std::any_of(element.cells.begin(), element.cells.end(), [&](const ElementCell& cell) {
        if (cell.share < 0.5f) return false;
        const PatientPoint here = place(ct, cell.index);
        return std::any_of(metal.begin(), metal.end(), [&](PatientPoint m) { return length(m - here) < reach_mm; });
    });
}

std::vector<MetalOn> metal_on(const PolarBlock& ct, const FoundElement& element) {
    // Close to metal its streaks hide the element, and parts of the metal: a piece lies on it where some of it touches what is left.
    constexpr double reach_mm = 2.0;
    constexpr float filled_half = 0.5f;
    std::vector<PatientPoint> filled;
    for (const ElementCell& cell : element.cells)
        if (cell.share >= filled_half) filled.push_back(place(ct, cell.index));
    ClockSteps seen{}, touching{};
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        if (!ct.inside(i) || ct.value(i) <= least_hu) continue;
        const auto clock = static_cast<std::size_t>(PolarBlock::cell(i).clock);
        const PatientPoint here = place(ct, i);
        seen[clock] = true;
        touching[clock] = touching[clock] || std::any_of(filled.begin(), filled.end(), [&](PatientPoint f) { return length(f - here) < reach_mm; });
    }
    std::vector<MetalOn> out;
    for (const Run& run : runs_of(seen)) {
        bool touches = false;
        for (int c = run.first; c <= run.last; ++c) touches = touches || touching[static_cast<std::size_t>(c % PolarBlock::clock_count)];
        if (touches) out.push_back({run.middle(), PolarBlock::clock_hours(run.last - run.first + 1)});
    }
    return out;
}

std::optional<std::vector<ClockPosition>> metal_round_globe(const PolarBlock& ct) {
    ClockSteps seen{};
    float highest = -1024.0f;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        if (!ct.inside(i)) continue;
        highest = std::max(highest, ct.value(i));
        if (ct.value(i) > least_hu) seen[static_cast<std::size_t>(PolarBlock::cell(i).clock)] = true;
    }
    if (highest > least_hu) {
        std::vector<ClockPosition> middles;
        for (const Run& run : runs_of(seen)) middles.push_back(run.middle());
        return middles;
    }
    constexpr double whole = 0.93, farthest_slices_mm = 4.0;
    const bool shown = ct.coverage(PolarBlock::height_first_mm, PolarBlock::height_mm(PolarBlock::height_count - 1)) >= whole &&
                       ct.slice_spacing_mm() <= farthest_slices_mm;
    if (!shown || ends_in_plateau(ct, highest)) return std::nullopt;
    return std::vector<ClockPosition>{};
}

}  // namespace perisclera
