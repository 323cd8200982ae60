// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/body_outline.h"

#include <algorithm>
#include <utility>

#include "body_shares.h"
#include "element_shares.h"
#include "least_surface.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

constexpr float filled_from = 0.5f;

/// The connected part of the filled cells in which most of `body` lies.
PolarMask part_of(const PolarMask& filled, const PolarMask& body) {
    std::vector<std::size_t> best;
    std::ptrdiff_t most = 0;
    for (auto& region : connected_regions(filled)) {
        const auto shared = std::count_if(region.begin(), region.end(), [&](std::size_t i) { return body[i] != 0; });
        if (shared > most) most = shared, best = std::move(region);
    }
    PolarMask part(filled.size(), 0);
    for (const std::size_t i : best) part[i] = 1;
    return part;
}

/// What lies so near the wall rests on it: between the body and the wall, which blend on every series, there is nothing else.
void rest_on_wall(std::vector<float>& share, PolarMask& body, const BodyShares& shares) {
    constexpr int nearest = 2;   // cells, a millimetre
    for (std::size_t first = 0; first < body.size(); first += PolarBlock::height_count) {
        int wall = 0;
        while (wall < PolarBlock::height_count && !(shares.above_wall(first + static_cast<std::size_t>(wall)) > 0.0f)) ++wall;
        int lowest = wall;
        while (lowest < PolarBlock::height_count && lowest <= wall + nearest && !body[first + static_cast<std::size_t>(lowest)]) ++lowest;
        if (lowest >= PolarBlock::height_count || !body[first + static_cast<std::size_t>(lowest)]) continue;
        for (std::size_t i = first + static_cast<std::size_t>(wall); i < first + static_cast<std::size_t>(lowest); ++i) share[i] = shares.above_wall(i), body[i] = share[i] >= filled_from;
    }
}

/// Is it clearly brighter than anything that lies beside it, which is fat at most?
bool stands_out(const EyeView& view, const FoundElement& found) {
    constexpr double fat = 0.85, most_of_own = 2.0 / 3.0;
    return found.appearance == Appearance::t2_bright && view.block.orbit_signal(fat) < most_of_own * found.core_signal;
}

/// Where it stands out by its own signal on all sides, that signal tells how much of each cell at its surface it fills: however an image is blurred, the sum stays. An outline alone
/// loses what blur carries beyond it.
std::vector<ElementCell> by_own_signal(const EyeView& view, const PolarMask& body, const FoundElement& found) {
    Candidate candidate{};
    for (std::size_t i = 0; i < body.size(); ++i)
        if (body[i]) candidate.cells.push_back(i);
    return with_shares(view.block, candidate, found.appearance, view.kvp).cells;
}

/// Share of the surface above the wall just beyond which the series clearly show something else.
double edge_seen(const PolarMask& part, const BodyShares& shares) {
    constexpr float clearly_without = 0.3f;
    constexpr double above_wall_mm = 1.0;
    constexpr int beyond = 2;   // cells, about a millimetre
    int seen = 0, all = 0;
    for (std::size_t i = 0; i < part.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        if (!part[i] || PolarBlock::height_mm(c.height) < above_wall_mm) continue;
        const auto look = [&](int clock, int polar, int height) {
            const auto place = [&](int times) { return PolarCell{(c.clock + times * clock + 2 * PolarBlock::clock_count) % PolarBlock::clock_count, c.polar + times * polar, c.height + times * height}; };
            const PolarCell next = place(1), far = place(beyond);
            if (far.polar < 0 || far.polar >= PolarBlock::polar_count || far.height >= PolarBlock::height_count || part[PolarBlock::index(next.clock, next.polar, next.height)]) return;
            ++all;
            const std::size_t there = PolarBlock::index(far.clock, far.polar, far.height);
            seen += shares.at(there) < clearly_without && shares.is_unlike_body(there);
        };
        look(1, 0, 0), look(-1, 0, 0), look(0, 1, 0), look(0, -1, 0), look(0, 0, 1);
    }
    return all > 0 ? static_cast<double>(seen) / all : 0.0;
}

}  // namespace

std::optional<BodyOutline> outline_of_body(const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow, const EyeElement& element,
                                           const std::vector<const FoundElement*>& of_fellow) {
    constexpr double surface_mm = 0.25;
    constexpr int passes = 2;   // the second with the signals of what the first took in
    const PolarBlock& block = views[element.view]->block;
    const ColumnMask opposite = columns_opposite(of_fellow);
    PolarMask found(PolarBlock::cell_count, 0);
    for (const ElementCell& c : element.found.cells) found[c.index] = c.share >= filled_from;
    PolarMask body = found;
    BodyOutline out{{}, 0.0};
    for (int pass = 0; pass < passes; ++pass) {
        if (std::find(body.begin(), body.end(), 1) == body.end()) return std::nullopt;
        const BodyShares shares(views, fellow, element.view, {found, body}, opposite);
        if (!shares.tells()) return std::nullopt;
        const GridStretch stretch = stretch_about(body);
        std::vector<float> evidence(stretch.size());
        stretch.for_each([&](std::size_t here, std::size_t i) { evidence[here] = 1.0f - 2.0f * shares.at(i); });
        const std::vector<float> least = least_surface(block, stretch, evidence, surface_mm);
        std::vector<float> share(PolarBlock::cell_count, 0.0f);
        stretch.for_each([&](std::size_t here, std::size_t i) { share[i] = least[here]; });
        PolarMask filled(PolarBlock::cell_count, 0);
        for (std::size_t i = 0; i < filled.size(); ++i) filled[i] = share[i] >= filled_from;
        body = part_of(filled, body);
        rest_on_wall(share, body, shares);
        const PolarMask reach = grown(body, 1);
        out.cells.clear();
        for (std::size_t i = 0; i < reach.size(); ++i)
            if (reach[i] && share[i] > 0.0f) out.cells.push_back({i, share[i]});
        if (pass + 1 == passes) out.edge_seen = edge_seen(body, shares);
    }
    if (stands_out(*views[element.view], element.found)) out.cells = by_own_signal(*views[element.view], body, element.found);
    if (out.cells.empty()) return std::nullopt;
    return out;
}

}  // namespace perisclera
