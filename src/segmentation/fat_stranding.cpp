// SPDX-License-Identifier: Apache-2.0
// Inflamed fat is denser than it was. Where the fellow eye has plain fat, the fat near the elements is held against the fellow's, and both against fat far from them:
// what sets two eyes or two halves of a CT apart everywhere is no sign. A muscle that an element pushes aside replaces some of the fat and mixes with more of it, but leaves
// the rest as it was: what counts lies clear of soft tissue, and is the quarter of it that is most like fat.
#include <algorithm>
#include <cmath>

#include "columns.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "signs_on_ct.h"

namespace perisclera {

namespace {

constexpr double degrees = 57.2958;

/// Mean over the cells within `reach` in all three directions.
std::vector<float> local_mean(std::vector<float> values, int reach) {
    constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;
    std::vector<float> mean(values.size());
    for (int axis = 0; axis < 3; ++axis) {
        for (std::size_t i = 0; i < values.size(); ++i) {
            const PolarCell c = PolarBlock::cell(i);
            float sum = 0.0f;
            for (int d = -reach; d <= reach; ++d)
                sum += values[axis == 0   ? PolarBlock::index((c.clock + d + clocks) % clocks, c.polar, c.height)
                              : axis == 1 ? PolarBlock::index(c.clock, std::clamp(c.polar + d, 0, polars - 1), c.height)
                                          : PolarBlock::index(c.clock, c.polar, std::clamp(c.height + d, 0, heights - 1))];
            mean[i] = sum / static_cast<float>(2 * reach + 1);
        }
        std::swap(values, mean);
    }
    return values;
}

/// Fat and little else within some 2 mm.
PolarMask plain_fat(const PolarBlock& ct, const std::vector<float>& values) {
    constexpr float lowest_hu = -150.0f, highest_hu = -65.0f;
    constexpr int reach = 2;
    const std::vector<float> mean = local_mean(values, reach);
    PolarMask fat(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < fat.size(); ++i) fat[i] = ct.inside(i) && mean[i] > lowest_hu && mean[i] < highest_hu;
    return fat;
}

/// Orbit behind the lids, clear of wall and bone.
bool is_looked_at(PolarCell c) {
    constexpr double first_polar_deg = 65.0, last_polar_deg = 145.0, lowest_mm = 1.0, highest_mm = 10.0;
    const double height = PolarBlock::height_mm(c.height), polar = PolarBlock::polar_radians(c.polar) * degrees;
    return height >= lowest_mm && height <= highest_mm && polar >= first_polar_deg && polar <= last_polar_deg;
}

}  // namespace

std::optional<FatBeside> fat_beside(const PolarBlock& ct, const PolarBlock& fellow, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow) {
    constexpr double whole = 0.9, imaged_mm = 5.0, least_blur_mm = 1.5, near_mm = 2.0, far_mm = 5.0;
    constexpr float gas_hu = -200.0f, no_fat_hu = -20.0f;
    if (!serves_as_atlas(ct, fellow) || std::min(ct.coverage(0.0, imaged_mm), fellow.coverage(0.0, imaged_mm)) < whole) return std::nullopt;
    const std::vector<float> &values = ct.smoothed(), &usual = fellow.smoothed();
    const PolarMask fat_of_fellow = plain_fat(fellow, usual);
    const auto in_head = mirrored_in_head(ct, fellow);
    const ColumnMask opposite = columns_opposite(of_fellow);
    const double blur_mm = std::max(least_blur_mm, ct.slice_spacing_mm());
    const PolarMask element = cells_of(elements, 0.2f);
    const PolarMask blurred = grown_by_mm(ct, element, blur_mm), near = grown_by_mm(ct, element, blur_mm + near_mm), not_far = grown_by_mm(ct, near, far_mm);
    PolarMask no_fat(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < no_fat.size(); ++i) no_fat[i] = values[i] < gas_hu || values[i] > no_fat_hu;
    // The edge of a muscle that an element pushed into fat looks like dense fat (seen in a drawn patient).
    const PolarMask mixed = grown_by_mm(ct, no_fat, blur_mm);

    FatBeside out;
    double fat_usual = 0.0, replaced = 0.0;
    std::vector<float> near_here, near_there, far_here, far_there;
    for (std::size_t i = 0; i < near.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const auto place = in_head[column(c.clock, c.polar)];
        if (!is_looked_at(c) || !ct.inside(i) || blurred[i] || opposite[column(c.clock, c.polar)] || !place) continue;
        const std::size_t on_eye = PolarBlock::mirrored(i);
        if (!fat_of_fellow[on_eye] || !fat_of_fellow[PolarBlock::index(column_at(*place).clock, column_at(*place).polar, c.height)]) continue;
        if (near[i]) ++fat_usual, replaced += no_fat[i];
        if (mixed[i]) continue;
        if (near[i]) {
            near_here.push_back(values[i]), near_there.push_back(usual[on_eye]);
            out.near_mm3 += ct.cell_volume_mm3(c);
        } else if (!not_far[i]) {
            far_here.push_back(values[i]), far_there.push_back(usual[on_eye]);
            out.far_mm3 += ct.cell_volume_mm3(c);
        }
    }
    if (near_here.empty() || far_here.empty()) return out;
    constexpr double low = 0.25;
    out.replaced = replaced / fat_usual;
    out.far_hu = quantile(far_here, low);
    out.far_rise_hu = out.far_hu - quantile(far_there, low);
    out.near_hu = quantile(near_here, low);
    out.near_rise_hu = out.near_hu - quantile(near_there, low);
    out.middle_rise_hu = quantile(near_here, 0.5) - quantile(near_there, 0.5);
    return out;
}

SignReading fat_stranding(const PolarBlock& ct, const PolarBlock& fellow, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow) {
    constexpr double most_noise_hu = 30.0, least_mm3 = 40.0, much_replaced = 0.3, least_rise_hu = 30.0;
    if (ct.globe().interior_spread > most_noise_hu) return SignReading::not_assessable;
    const std::optional<FatBeside> fat = fat_beside(ct, fellow, elements, of_fellow);
    if (!fat || std::min(fat->near_mm3, fat->far_mm3) < least_mm3 || fat->replaced > much_replaced) return SignReading::not_assessable;
    const double beyond_usual = fat->near_rise_hu - std::max(0.0, fat->far_rise_hu), beyond_own = fat->near_hu - fat->far_hu;
    if (std::min(beyond_usual, beyond_own) >= least_rise_hu) return SignReading::seen;
    // Half of it has risen, a quarter has not: strands between plain fat, or an edge of a muscle that lies otherwise. There is no telling.
    return fat->middle_rise_hu - std::max(0.0, fat->far_rise_hu) >= least_rise_hu ? SignReading::not_assessable : SignReading::not_seen;
}

}  // namespace perisclera
