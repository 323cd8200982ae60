// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/body_outline.h"

#include <algorithm>
#include <utility>

#include "body_shares.h"
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
            seen += shares.at(PolarBlock::index(far.clock, far.polar, far.height)) < clearly_without;
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
        const PolarMask reach = grown(body, 1);
        out.cells.clear();
        for (std::size_t i = 0; i < reach.size(); ++i)
            if (reach[i] && share[i] > 0.0f) out.cells.push_back({i, share[i]});
        if (pass + 1 == passes) out.edge_seen = edge_seen(body, shares);
    }
    if (out.cells.empty()) return std::nullopt;
    return out;
}

}  // namespace perisclera
