// SPDX-License-Identifier: Apache-2.0
#include "element_shares.h"

#include <algorithm>
#include <cmath>

#include "perisclera/physics/material_table.h"

namespace perisclera {

namespace {

constexpr double fat_at_least_hu = -130.0;

/// Cells of the mask that have `depth` cells of mask on every side.
std::vector<float> core_values(const PolarBlock& block, const PolarMask& mask, int depth) {
    PolarMask outside(mask.size());
    for (std::size_t i = 0; i < mask.size(); ++i) outside[i] = mask[i] ? 0 : 1;
    outside = grown(std::move(outside), depth);
    std::vector<float> values;
    for (std::size_t i = 0; i < mask.size(); ++i)
        if (!outside[i]) values.push_back(block.value(i));
    return values;
}

/// On T2 the vitreous is as bright as the element; between them lies the dark wall. Everything below its darkest point belongs to
/// the eye.
PolarMask below_wall(const PolarBlock& block) {
    PolarMask below(PolarBlock::cell_count, 0);
    for (int c = 0; c < PolarBlock::clock_count; ++c)
        for (int p = 0; p < PolarBlock::polar_count; ++p) {
            int darkest = 0;
            float least = 1e30f;
            for (int h = 0; h < PolarBlock::height_count; ++h) {
                const double mm = PolarBlock::height_mm(h);
                const float v = block.value(PolarBlock::index(c, p, h));
                if (mm >= -2.5 && mm <= 1.0 && v < least) least = v, darkest = h;
            }
            for (int h = 0; h < darkest; ++h) below[PolarBlock::index(c, p, h)] = 1;
        }
    return below;
}

struct OwnSignal {
    double value, uncertainty;
    bool thin;
};

/// Median radial extent of the mask over its columns, mm.
double radial_extent_mm(const PolarMask& mask) {
    std::vector<float> extents;
    for (int c = 0; c < PolarBlock::clock_count; ++c)
        for (int p = 0; p < PolarBlock::polar_count; ++p) {
            int cells = 0;
            for (int h = 0; h < PolarBlock::height_count; ++h) cells += mask[PolarBlock::index(c, p, h)];
            if (cells > 0) extents.push_back(static_cast<float>(cells * PolarBlock::height_step_mm));
        }
    return quantile(std::move(extents), 0.5);
}

OwnSignal own_signal(const PolarBlock& block, const PolarMask& mask, Appearance appearance, double kvp) {
    const std::vector<float> deep = core_values(block, mask, 2), shallow = core_values(block, mask, 1);
    const bool thick = deep.size() >= 12;
    std::vector<float> all;
    for (std::size_t i = 0; i < mask.size(); ++i)
        if (mask[i]) all.push_back(block.value(i));
    const auto& best = thick ? deep : shallow.size() >= 12 ? shallow : all;
    const double spread = 0.7413 * (quantile(best, 0.75) - quantile(best, 0.25));
    switch (appearance) {
        case Appearance::ct_dark: {
            const double seen = thick ? quantile(best, 0.12) : quantile(all, 0.05);
            if (thick) return {seen, 20.0 + 0.3 * spread, false};
            return {std::min(seen, sponge_hu().mean), sponge_hu().spread, true};
        }
        case Appearance::ct_bright: {
            const double seen = quantile(all, 0.95);
            const Expected expected = solid_silicone_hu(kvp);
            // Below about 2.5 mm the blur of a soft kernel leaves no place where silicone shows its own number.
            if (thick && radial_extent_mm(mask) > 2.5) return {quantile(best, 0.75), 12.0 + 0.3 * spread, false};
            return {std::max(seen, expected.mean), expected.spread, true};
        }
        case Appearance::ct_mass: return {quantile(best, 0.5), 6.0 + 0.3 * spread, shallow.size() < 12};
        case Appearance::mr_mass: return {quantile(best, 0.5), 0.3 * spread + 0.05 * block.orbit_signal(0.75), shallow.size() < 12};
        case Appearance::t2_bright: return {quantile(best, 0.75), 0.3 * spread + 0.03 * quantile(best, 0.5), shallow.size() < 12};
        case Appearance::mr_void: return {quantile(best, 0.3), spread, !thick};
    }
    return {0.0, 0.0, true};
}

struct Range {
    double lowest, highest;
};

/// What may lie beside an element: soft tissue and fat on CT; on MR anything but what the element itself shows.
Range background_range(const PolarBlock& block, Appearance appearance, double own) {
    switch (appearance) {
        case Appearance::ct_dark: return {-140.0, 80.0};
        case Appearance::ct_bright: return {-140.0, 100.0};
        case Appearance::ct_mass: return {-140.0, own - 40.0};
        case Appearance::mr_mass: {
            // Only fat tells where the mass ends.
            const double fat = block.orbit_signal(0.75), clear = own + 0.4 * (fat - own);
            return fat > own ? Range{clear, 1e9} : Range{-1e9, clear};
        }
        // Fat may be nearly as bright as the element.
        case Appearance::t2_bright: return {-1e9, std::clamp(1.05 * block.orbit_signal(0.9), 0.6 * own, 0.9 * own)};
        case Appearance::mr_void: return {own, 1e9};
    }
    return {-1e9, 1e9};
}

/// The blur between fat and bone passes through the level of a mass: a rim of it that hangs on nothing is no part of the mass.
void keep_largest_part(FoundElement& element) {
    PolarMask filled(PolarBlock::cell_count, 0);
    for (const ElementCell& c : element.cells) filled[c.index] = c.share >= 0.5f;
    const auto parts = connected_regions(filled);
    const auto largest = std::max_element(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
    if (largest == parts.end()) return;
    PolarMask part(PolarBlock::cell_count, 0);
    for (const std::size_t i : *largest) part[i] = 1;
    const PolarMask reach = grown(std::move(part), 2);
    std::erase_if(element.cells, [&](const ElementCell& c) { return !reach[c.index]; });
}

/// Going away from a sponge it only gets brighter: where it darkens again, behind skin or bone, another air begins.
void leave_other_air(const PolarBlock& block, const PolarMask& sponge, PolarMask& reach) {
    constexpr float noise_hu = 60.0f;
    const std::vector<float>& smooth = block.smoothed();
    constexpr int farthest = 12;   // cells: farther than any blur reaches
    const PolarMask own = grown_where(sponge, farthest, [&](std::size_t from, std::size_t to) { return smooth[to] >= smooth[from] - noise_hu; });
    for (std::size_t i = 0; i < reach.size(); ++i) reach[i] = reach[i] && own[i];
}

}  // namespace

FoundElement with_shares(const PolarBlock& block, const Candidate& candidate, Appearance appearance, double kvp) {
    PolarMask mask(PolarBlock::cell_count, 0);
    for (const std::size_t i : candidate.cells) mask[i] = 1;
    // The blur carries an element's signal about this far beyond the region that passed the threshold.
    const double blur_reach = appearance == Appearance::ct_bright ? 0.6 + 0.45 * block.largest_spacing_mm() : 0.7 + 0.6 * block.largest_spacing_mm();
    PolarMask reach = grown_by_mm(block, mask, blur_reach);
    if (appearance == Appearance::ct_dark) leave_other_air(block, mask, reach);
    const OwnSignal own = own_signal(block, mask, appearance, kvp);
    const Range tissue = background_range(block, appearance, own.value);
    const bool mass = is_mass(appearance);
    const PolarMask beside = grown(mask, appearance == Appearance::t2_bright ? 3 : mass ? 2 : 1);
    // Without fat suppression fat is the brightest thing in the orbit but the element.
    const double fat = appearance == Appearance::t2_bright ? block.orbit_signal(0.9) : 0.0;
    PolarMask eye(PolarBlock::cell_count, 0);
    if (appearance == Appearance::t2_bright) eye = below_wall(block);
    if (mass)
        for (std::size_t i = 0; i < eye.size(); ++i) eye[i] = PolarBlock::height_mm(PolarBlock::cell(i).height) < -0.5;
    // A thin element lies on the bright line of the sclera, which only its neighbours along the wall show.
    const std::vector<float> background = appearance == Appearance::ct_bright ? flank_background(block, reach, tissue.lowest, tissue.highest)
                                                                              : nearest_background(block, reach, eye, tissue.lowest, tissue.highest);
    FoundElement element{appearance, {}, own.value, own.uncertainty, 0.0, own.thin, candidate.closed_ring, candidate.strength, candidate.sure_columns};
    double background_sum = 0.0, volume_sum = 0.0;
    for (std::size_t i = 0; i < reach.size(); ++i) {
        if (!reach[i]) continue;
        const PolarCell c = PolarBlock::cell(i);
        if (eye[i]) continue;
        double behind = std::clamp(static_cast<double>(background[i]), tissue.lowest, tissue.highest);
        // Bone beside a bright element: there is no telling what belongs to which.
        if (appearance == Appearance::ct_bright && static_cast<double>(block.value(i)) > 1.6 * own.value) continue;
        // Fat is dark too: away from the body its level says nothing.
        if (appearance == Appearance::ct_dark && !beside[i] && static_cast<double>(block.value(i)) > fat_at_least_hu) continue;
        if (appearance == Appearance::t2_bright && fat > 0.58 * own.value && static_cast<double>(block.value(i)) > 0.75 * fat) {
            if (!beside[i]) continue;
        }
        if (std::abs(own.value - behind) < 1e-6) continue;  // no contrast, nothing to share out
        const double share = (static_cast<double>(block.value(i)) - behind) / (own.value - behind);
        // Muscle, wall and gland beside a mass are as unlike fat as the mass itself.
        if (mass && !mask[i] && share > 0.6) continue;
        // Bone, air and the blur beside them are neither mass nor fat.
        constexpr double brighter_hu = 60.0, darkest_fat_hu = -140.0;
        const auto value = static_cast<double>(block.value(i));
        if (appearance == Appearance::ct_mass && (value > own.value + brighter_hu || value < darkest_fat_hu)) continue;
        if (mass && !beside[i]) continue;
        const double v = block.cell_volume_mm3(c);
        element.cells.push_back({i, static_cast<float>(std::clamp(share, -0.5, 1.2))});
        if (mask[i]) background_sum += behind * v, volume_sum += v;
    }
    if (mass) keep_largest_part(element);
    element.background_signal = volume_sum > 0.0 ? background_sum / volume_sum : 0.0;
    return element;
}

}  // namespace perisclera
