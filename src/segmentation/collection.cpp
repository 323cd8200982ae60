// SPDX-License-Identifier: Apache-2.0
// Fluid beside elements on MR. T1 tells where no fat is, since fat is as bright as pus on T2; CT in its place would not do: the blurred edge of muscle against fat lies near water (in 2 of 5 drawn eyes without a collection 60 mm3 and more touched the element).
// What is normal in this patient, gland, wall and what the vitreous outshines, shows on the fellow eye.
#include <algorithm>

#include "columns.h"
#include "perisclera/segmentation/fellow_atlas.h"
#include "signs_on_ct.h"
#include "signs_on_mr.h"

namespace perisclera {

namespace {

constexpr double degrees = 57.2958;
/// Behind the lids and before the muscle cone's end, clear of the wall, and within what can be looked round.
constexpr double first_polar_deg = 65.0, last_polar_deg = 125.0, lowest_mm = 0.5, highest_mm = 8.5;

bool is_looked_at(PolarCell c) {
    const double height = PolarBlock::height_mm(c.height), polar = PolarBlock::polar_radians(c.polar) * degrees;
    return height >= lowest_mm && height <= highest_mm && polar >= first_polar_deg && polar <= last_polar_deg;
}

/// Cells of one eye that are plainly no fat on T1.
PolarMask no_fat(const PolarBlock& t1, double fat) {
    constexpr double darker = 0.5;
    PolarMask mask(PolarBlock::cell_count, 0);
    for (std::size_t i = 0; i < mask.size(); ++i) mask[i] = t1.inside(i) && static_cast<double>(t1.smoothed()[i]) < darker * fat;
    return mask;
}

double fat_level(const BothEyes& t1) {
    constexpr double fat_quantile = 0.75;
    return 0.5 * (t1.own.block.orbit_signal(fat_quantile) + t1.fellow.block.orbit_signal(fat_quantile));
}

PolarMask brighter(PolarMask among, const PolarBlock& block, double level) {
    for (std::size_t i = 0; i < among.size(); ++i) among[i] = among[i] && block.inside(i) && static_cast<double>(block.smoothed()[i]) > level;
    return among;
}

/// Both eyes whole on slices thin enough, the fellow fit to tell what is normal, and nothing on it where this eye has its elements.
bool may_tell(const BothEyes& series, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow) {
    constexpr double whole = 0.9;
    const PolarBlock &own = series.own.block, &fellow = series.fellow.block;
    return serves_as_atlas(own, fellow) && own.slice_spacing_mm() <= thickest_slices_mm && std::min(own.coverage(0.0, highest_mm), fellow.coverage(0.0, highest_mm)) >= whole &&
           std::none_of(elements.begin(), elements.end(), [&](const FoundElement* e) {
               return std::any_of(of_fellow.begin(), of_fellow.end(), [&](const FoundElement* f) { return lies_opposite(*e, *f); });
           });
}

}  // namespace

SignReading collection(const BothEyes& t2, const BothEyes& t1, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow) {
    // Pus has about half of the vitreous' signal at usual echo times, muscle a tenth, gland a third (T2 120, 40 and 80 ms: assumed).
    constexpr double of_vitreous = 0.4, of_muscle = 2.5, muscle_quantile = 0.1, differ_mm = 1.0, least_blur_mm = 1.0, least_mm3 = 60.0;
    if (!may_tell(t2, elements, of_fellow) || !may_tell(t1, elements, of_fellow)) return SignReading::not_assessable;
    const PolarBlock &block = t2.own.block, &fellow = t2.fellow.block;
    const double vitreous = std::max(block.globe().interior_mean, fellow.globe().interior_mean);
    const double level = std::max(of_vitreous * vitreous, of_muscle * fellow.orbit_signal(muscle_quantile)), fat = fat_level(t1);
    const double spacing_mm = std::max(block.slice_spacing_mm(), t1.own.block.slice_spacing_mm());
    PolarMask fluid = brighter(no_fat(t1.own.block, fat), block, level);
    const PolarMask usual = grown_by_mm(block, brighter(no_fat(t1.fellow.block, fat), fellow, 0.8 * level), differ_mm);
    const auto in_head = mirrored_in_head(block, fellow);
    for (std::size_t i = 0; i < fluid.size(); ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const auto place = in_head[column(c.clock, c.polar)];
        fluid[i] = fluid[i] && is_looked_at(c) && place && !usual[PolarBlock::mirrored(i)] && !usual[PolarBlock::index(column_at(*place).clock, column_at(*place).polar, c.height)];
    }
    const PolarMask touching = grown_by_mm(block, cells_of(elements, 0.2f), std::max(least_blur_mm, 0.5 * spacing_mm));
    double most_mm3 = 0.0;
    for (const auto& region : connected_regions(fluid))
        if (std::any_of(region.begin(), region.end(), [&](std::size_t i) { return touching[i] != 0; })) most_mm3 = std::max(most_mm3, shape_of(block, region).volume_mm3);
    // Thick slices mix fluid with the element's void: of 16 drawn collections one showed next to none, so that none is never said.
    return most_mm3 >= least_mm3 ? SignReading::seen : SignReading::not_assessable;
}

}  // namespace perisclera
