// SPDX-License-Identifier: Apache-2.0
#include "joined_voids.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "polar_regions.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count;
using ClockMask = std::array<bool, clocks>;

/// A void, the clock steps that it covers, and where it lies along the meridian.
struct Part {
    EyeElement element;
    ClockMask covers{};
    double first_arc_mm, middle_arc_mm, last_arc_mm;
};

Part part_of(const PolarBlock& block, EyeElement element) {
    std::vector<std::size_t> cells;
    Part part{std::move(element), {}, 0.0, 0.0, 0.0};
    for (const ElementCell& c : part.element.found.cells) {
        if (c.share <= 0.0f) continue;
        cells.push_back(c.index);
        part.covers[static_cast<std::size_t>(PolarBlock::cell(c.index).clock)] = true;
    }
    const RegionShape shape = shape_of(block, cells);
    part.first_arc_mm = block.limbus_arc_mm(shape.first_polar), part.middle_arc_mm = block.limbus_arc_mm(shape.mean_polar), part.last_arc_mm = block.limbus_arc_mm(shape.last_polar);
    return part;
}

bool on_one_circle(const Part& a, const Part& b) {
    constexpr double middles_mm = 3.0, shared = 0.5;
    const double both = std::min(a.last_arc_mm, b.last_arc_mm) - std::max(a.first_arc_mm, b.first_arc_mm);
    return std::abs(a.middle_arc_mm - b.middle_arc_mm) <= middles_mm && both >= shared * std::min(a.last_arc_mm - a.first_arc_mm, b.last_arc_mm - b.first_arc_mm);
}

/// Does a series that shows the void cut the wall along its face at this clock step?
bool cut_along_face(const std::vector<const EyeView*>& views, const EyeElement& element, int clock) {
    constexpr double along = 0.8, thick_slice_mm = 1.9, equator = 0.5 * std::numbers::pi;
    const auto cuts = [&](std::size_t view) {
        const PolarBlock& block = views[view]->block;
        const double hours = PolarBlock::clock_hours(clock);
        const PatientVector outwards = unit(block.patient_point(hours, equator, 1.0) - block.patient_point(hours, equator, 0.0));
        return block.slice_spacing_mm() >= thick_slice_mm && std::abs(dot(outwards, block.geometry().normal())) >= along;
    };
    return cuts(element.view) || std::any_of(element.also_seen_in.begin(), element.also_seen_in.end(), cuts);
}

/// Clock steps left free between what the two cover, and where they begin.
struct Gap {
    int first, length;
};

std::vector<Gap> gaps_of(const ClockMask& covered) {
    std::vector<Gap> gaps;
    for (int c = 0; c < clocks; ++c) {
        const auto at = [&](int k) { return covered[static_cast<std::size_t>((k + clocks) % clocks)]; };
        if (at(c) || !at(c - 1)) continue;
        int length = 1;
        while (!at(c + length)) ++length;
        gaps.push_back({c, length});
    }
    return gaps;
}

void take_in(Part& whole, Part part) {
    FoundElement &to = whole.element.found, &from = part.element.found;
    to.cells.insert(to.cells.end(), from.cells.begin(), from.cells.end());
    std::sort(to.cells.begin(), to.cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index != b.index ? a.index < b.index : a.share > b.share; });
    to.cells.erase(std::unique(to.cells.begin(), to.cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index == b.index; }), to.cells.end());
    to.strength += from.strength;
    to.thinner_than_blur = to.thinner_than_blur && from.thinner_than_blur;
    to.own_signs = to.own_signs || from.own_signs;
    std::vector<SureColumn> sure;
    std::merge(to.sure_columns.begin(), to.sure_columns.end(), from.sure_columns.begin(), from.sure_columns.end(), std::back_inserter(sure), [](const SureColumn& a, const SureColumn& b) { return a.column < b.column; });
    to.sure_columns = std::move(sure);
    std::vector<std::size_t>& also = whole.element.also_seen_in;
    also.insert(also.end(), part.element.also_seen_in.begin(), part.element.also_seen_in.end());
    std::sort(also.begin(), also.end());
    also.erase(std::unique(also.begin(), also.end()), also.end());
    for (std::size_t c = 0; c < whole.covers.size(); ++c) whole.covers[c] = whole.covers[c] || part.covers[c];
}

/// Parts them nothing but a muscle's tendon?
bool nearly_touch(const Part& a, const Part& b) {
    constexpr int narrow = 10;   // clock steps: an hour
    ClockMask both{};
    for (std::size_t c = 0; c < both.size(); ++c) both[c] = a.covers[c] || b.covers[c];
    const auto covered_by = [](const Part& part, int clock) { return part.covers[static_cast<std::size_t>((clock + clocks) % clocks)]; };
    const std::vector<Gap> gaps = gaps_of(both);
    return gaps.empty() || std::any_of(gaps.begin(), gaps.end(), [&](const Gap& gap) {
        const int before = gap.first - 1, after = gap.first + gap.length;
        return gap.length <= narrow && covered_by(a, before) != covered_by(a, after);
    });
}

/// On both sides of the globe, and open only where slices run along the wall.
bool goes_round(const std::vector<const EyeView*>& views, const Part& part) {
    constexpr int widest = 45, least_covered = 40;   // clock steps
    const std::vector<Gap> gaps = gaps_of(part.covers);
    return std::count(part.covers.begin(), part.covers.end(), true) >= least_covered && gaps.size() >= 2 &&
           std::all_of(gaps.begin(), gaps.end(), [&](const Gap& gap) { return gap.length <= widest && cut_along_face(views, part.element, (gap.first + gap.length / 2) % clocks); });
}

}  // namespace

std::vector<EyeElement> joined_voids(std::vector<EyeElement> found, const std::vector<const EyeView*>& views) {
    std::vector<Part> parts;
    std::vector<EyeElement> out;
    for (EyeElement& e : found) {
        if (e.found.appearance == Appearance::mr_void)
            parts.push_back(part_of(views[e.view]->block, std::move(e)));
        else
            out.push_back(std::move(e));
    }
    const auto join = [&](std::size_t to, std::size_t from) {
        const PolarBlock& block = views[parts[to].element.view]->block;
        take_in(parts[to], std::move(parts[from]));
        parts[to] = part_of(block, std::move(parts[to].element));
        parts.erase(parts.begin() + static_cast<std::ptrdiff_t>(from));
    };
    for (const bool round : {false, true})
        for (std::size_t i = 0; i < parts.size(); ++i)
            for (std::size_t k = i + 1; k < parts.size();) {
                bool together = parts[i].element.view == parts[k].element.view && on_one_circle(parts[i], parts[k]);
                if (together && round) {
                    Part both = parts[i];
                    take_in(both, parts[k]);
                    together = goes_round(views, both);
                } else if (together) {
                    together = nearly_touch(parts[i], parts[k]);
                }
                if (!together) {
                    ++k;
                    continue;
                }
                join(i, k);
                parts[i].element.found.closed_ring = round;
                k = i + 1;   // the whole reaches farther than its parts
            }
    for (Part& p : parts) out.push_back(std::move(p.element));
    return out;
}

}  // namespace perisclera
