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

/// The middle of each run of clock positions; those closer than half an hour are one.
std::vector<ClockPosition> middles(const std::array<bool, PolarBlock::clock_count>& seen) {
    constexpr int count = PolarBlock::clock_count, joined = 5;
    const auto gap_before = [&](int clock) {
        for (int back = 1; back <= joined; ++back)
            if (seen[static_cast<std::size_t>((clock - back + count) % count)]) return false;
        return true;
    };
    std::vector<ClockPosition> out;
    for (int first = 0; first < count; ++first) {
        if (!seen[static_cast<std::size_t>(first)] || !gap_before(first)) continue;
        int last = first;
        for (int next = first + 1; next <= last + joined; ++next)
            if (seen[static_cast<std::size_t>(next % count)]) last = next;
        out.emplace_back(0.5 * (PolarBlock::clock_hours(first) + PolarBlock::clock_hours(last)));
    }
    // All round without a gap.
    if (out.empty() && std::count(seen.begin(), seen.end(), true) > 0) out.emplace_back(0.0);
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

std::optional<std::vector<ClockPosition>> metal_round_globe(const PolarBlock& ct) {
    std::array<bool, PolarBlock::clock_count> seen{};
    float highest = -1024.0f;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        if (!ct.inside(i)) continue;
        highest = std::max(highest, ct.value(i));
        if (ct.value(i) > least_hu) seen[static_cast<std::size_t>(PolarBlock::cell(i).clock)] = true;
    }
    if (highest > least_hu) return middles(seen);
    constexpr double whole = 0.93, farthest_slices_mm = 4.0;
    const bool shown = ct.coverage(PolarBlock::height_first_mm, PolarBlock::height_mm(PolarBlock::height_count - 1)) >= whole && ct.slice_spacing_mm() <= farthest_slices_mm;
    if (!shown || ends_in_plateau(ct, highest)) return std::nullopt;
    return std::vector<ClockPosition>{};
}

}  // namespace perisclera
