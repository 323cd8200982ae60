// SPDX-License-Identifier: Apache-2.0
#include "joined_voids.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "one_of_pieces.h"
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

/// Does a series that shows it cut the wall along its face at this clock step?
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

void take_in(const PolarBlock& block, Part& whole, const Part& part) {
    take_on_signs(block, whole.element, part.element);
    std::vector<ElementCell>& cells = whole.element.found.cells;
    cells.insert(cells.end(), part.element.found.cells.begin(), part.element.found.cells.end());
    std::sort(cells.begin(), cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index != b.index ? a.index < b.index : a.share > b.share; });
    cells.erase(std::unique(cells.begin(), cells.end(), [](const ElementCell& a, const ElementCell& b) { return a.index == b.index; }), cells.end());
    for (std::size_t c = 0; c < whole.covers.size(); ++c) whole.covers[c] = whole.covers[c] || part.covers[c];
}

/// Does nothing part them but a muscle's tendon? One that lies on the other along the clock is another.
bool nearly_touch(const Part& a, const Part& b) {
    constexpr int narrow = 10;   // clock steps: an hour
    ClockMask both{};
    int shared = 0;
    for (std::size_t c = 0; c < both.size(); ++c) both[c] = a.covers[c] || b.covers[c], shared += a.covers[c] && b.covers[c];
    if (2 * shared > std::min(std::count(a.covers.begin(), a.covers.end(), true), std::count(b.covers.begin(), b.covers.end(), true))) return false;
    const auto covered_by = [](const Part& part, int clock) { return part.covers[static_cast<std::size_t>((clock + clocks) % clocks)]; };
    const std::vector<Gap> gaps = gaps_of(both);
    return shared > 0 || std::any_of(gaps.begin(), gaps.end(), [&](const Gap& gap) {
        const int before = gap.first - 1, after = gap.first + gap.length;
        return gap.length <= narrow && covered_by(a, before) != covered_by(a, after);
    });
}

/// On both sides of the globe, open only where slices run along the wall.
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
    for (const bool round : {false, true})
        for (std::size_t i = 0; i < parts.size(); ++i)
            for (std::size_t k = i + 1; k < parts.size();) {
                const PolarBlock& block = views[parts[i].element.view]->block;
                Part both = parts[i];
                const bool may_be_one = parts[i].element.view == parts[k].element.view && alike(parts[i].element.found, parts[k].element.found) && on_one_circle(parts[i], parts[k]);
                if (may_be_one) take_in(block, both, parts[k]);
                if (!may_be_one || !(round ? goes_round(views, both) : nearly_touch(parts[i], parts[k]))) {
                    ++k;
                    continue;
                }
                both.element.found.closed_ring = round;
                parts[i] = part_of(block, std::move(both.element));
                parts.erase(parts.begin() + static_cast<std::ptrdiff_t>(k));
                k = i + 1;   // the whole reaches farther than its parts
            }
    for (Part& p : parts) out.push_back(std::move(p.element));
    return out;
}

}  // namespace perisclera
