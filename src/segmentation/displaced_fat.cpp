// SPDX-License-Identifier: Apache-2.0
// A mass on the globe is known by what it pushes away: where the fellow eye has fat, or air in front of the lid, right
// above the wall, this eye has it only beyond the mass. Muscles, tendons, gland and lids are there in both eyes.
#include <algorithm>
#include <array>
#include <cmath>

#include "candidate_regions.h"
#include "columns.h"
#include "perisclera/segmentation/fellow_atlas.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;
constexpr double degrees = 57.2958;
// Columns looked at: behind the limbus, in front of where muscles gather to the cone; heights an element reaches.
constexpr double first_polar_deg = 50.0, last_polar_deg = 113.0, lowest_mm = 0.5, highest_mm = 9.0;
// Two eyes differ: gaze, muscles and lids by this much along clock and meridian (2.6 and 1.8 mm), and in height.
constexpr int clock_tolerance = 4, polar_tolerance = 4;
constexpr double height_tolerance_mm = 1.5;
constexpr double least_mm3 = 15.0;  // little by itself, but what another series shows may be asked for here
/// How far apart two parts of one mass may lie, half of it: 4 mm along the clock, 5 mm along the meridian in all.
constexpr int bridged_clock = 3, bridged_polar = 6;

using ColumnMap = std::vector<float>;  ///< one value for each column of the grid, mm; negative: not known

/// What fat shows in this series.
struct FatLevel {
    bool ct;
    double fat, soft;
    bool watery_brighter;  ///< T2: water is brighter than fat

    [[nodiscard]] bool is_fat(double v) const {
        if (ct) return v < soft + 0.55 * (fat - soft) && v > fat - 45.0;
        return v > 0.75 * fat && (!watery_brighter || v < 1.35 * fat);
    }
};

/// Where the air in front of a column begins: dark from there to the end of the grid. What has tissue outside it is no air.
int air_from(const PolarBlock& block, const std::vector<float>& smooth, const FatLevel& level, int c, int p) {
    const float dark = level.ct ? -200.0f : static_cast<float>(0.15 * level.fat);
    int h = heights;
    while (h > 0 && block.inside(PolarBlock::index(c, p, h - 1)) && smooth[PolarBlock::index(c, p, h - 1)] < dark) --h;
    return h;
}

/// Thickness of the tissue that lies on the wall without a break, up to the first fat or the air in front of the lid.
ColumnMap tissue_on_wall(const PolarBlock& block, const FatLevel& level) {
    constexpr float bone_hu = 200.0f;
    constexpr double bone_above_mm = 3.5;
    constexpr double lids_end_deg = 95.0;
    const std::vector<float>& smooth = block.smoothed();
    ColumnMap map(column_count, static_cast<float>(highest_mm));
    for (int c = 0; c < clocks; ++c)
        for (int p = 0; p < polars; ++p) {
            // Behind the lids what is dark to the end is bone or sinus on MR: no telling.
            const int air = PolarBlock::polar_radians(p) * degrees < lids_end_deg ? air_from(block, smooth, level, c, p) : heights;
            float& top = map[column(c, p)];
            for (int h = 0; h < heights && PolarBlock::height_mm(h) <= highest_mm; ++h) {
                const double mm = PolarBlock::height_mm(h);
                if (mm < lowest_mm) continue;
                const std::size_t i = PolarBlock::index(c, p, h);
                if (!block.inside(i)) {
                    top = -1.0f;
                    break;
                }
                // Beyond bone there is no telling: the column counts as full. On the wall itself nothing is bone.
                if (level.ct && smooth[i] > bone_hu && mm > bone_above_mm) break;
                if (h >= air || level.is_fat(static_cast<double>(smooth[i]))) {
                    top = static_cast<float>(mm - lowest_mm);
                    break;
                }
            }
        }
    return map;
}

/// The same place of the fellow eye.
ColumnMap mirrored(const ColumnMap& map) {
    ColumnMap out(map.size());
    for (int c = 0; c < clocks; ++c)
        for (int p = 0; p < polars; ++p) out[column(c, p)] = map[column((clocks - c) % clocks, p)];
    return out;
}

/// The more of what the fellow eye has at the same place of the eye and of the head: muscles turn with the eye, lids, gland and fat do not.
ColumnMap on_eye_or_in_head(const PolarBlock& own, const PolarBlock& fellow, const ColumnMap& map) {
    const auto in_head = mirrored_in_head(own, fellow);
    ColumnMap out = mirrored(map);
    for (std::size_t k = 0; k < column_count; ++k) {
        const float there = in_head[k] ? map[*in_head[k]] : -1.0f;
        out[k] = std::min(out[k], there) < 0.0f ? -1.0f : std::max(out[k], there);
    }
    return out;
}

/// The most within the tolerance; unknown where anything there is.
ColumnMap most_nearby(const ColumnMap& map) {
    const auto along = [](const ColumnMap& from, bool clockwise, int reach) {
        ColumnMap out(from.size());
        for (int c = 0; c < clocks; ++c)
            for (int p = 0; p < polars; ++p) {
                float most = 0.0f;
                bool known = true;
                for (int d = -reach; d <= reach; ++d) {
                    const float v = clockwise ? from[column((c + d + clocks) % clocks, p)] : from[column(c, std::clamp(p + d, 0, polars - 1))];
                    known = known && v >= 0.0f;
                    most = std::max(most, v);
                }
                out[column(c, p)] = known ? most : -1.0f;
            }
        return out;
    };
    return along(along(map, true, clock_tolerance), false, polar_tolerance);
}

std::optional<FatLevel> fat_level(const PolarBlock& own, const PolarBlock& fellow, const FinderSettings& settings) {
    // Generic CT numbers: fat -120 to -60, soft tissue from 0.
    if (settings.modality == Modality::ct) return FatLevel{true, -90.0, 0.0, false};
    const double fat = 0.5 * (own.orbit_signal(0.75) + fellow.orbit_signal(0.75)), muscle = fellow.orbit_signal(0.1);
    // Without a clear difference between fat and muscle (suppressed fat, proton density) nothing can be said.
    if (!settings.voids || !(fat > 1.4 * muscle) || !(fat > 0.0)) return std::nullopt;
    if (!settings.t2_weighted && !(fat > 1.4 * fellow.globe().interior_mean)) return std::nullopt;
    return FatLevel{false, fat, 0.0, settings.t2_weighted};
}

}  // namespace

std::vector<Candidate> displaced_fat_regions(const PolarBlock& block, const PolarBlock* fellow, const FinderSettings& settings) {
    if (fellow == nullptr || !serves_as_atlas(block, *fellow)) return {};
    const std::optional<FatLevel> level = fat_level(block, *fellow, settings);
    if (!level) return {};
    const ColumnMap own = tissue_on_wall(block, *level), on_fellow = tissue_on_wall(*fellow, *level), normal = mirrored(on_fellow);
    const ColumnMap most = most_nearby(on_eye_or_in_head(block, *fellow, on_fellow));
    const auto looked_at = [](int p) {
        const double polar = PolarBlock::polar_radians(p) * degrees;
        return polar >= first_polar_deg && polar <= last_polar_deg;
    };
    ColumnMask seeds(column_count, 0), more(column_count, 0), full(column_count, 0);
    for (std::size_t k = 0; k < column_count; ++k) {
        if (!looked_at(column_at(k).polar) || own[k] < 0.0f || most[k] < 0.0f) continue;
        seeds[k] = static_cast<double>(own[k] - most[k]) >= height_tolerance_mm;
        more[k] = static_cast<double>(own[k] - normal[k]) >= height_tolerance_mm;
        full[k] = static_cast<double>(std::min(own[k], normal[k])) >= highest_mm - 0.75;
    }
    // The tolerance was taken off all round: given back where the plain comparison agrees.
    ColumnMask columns = seeds;
    for (int round = 0; round < 4 * clock_tolerance; ++round) {
        const ColumnMask wider = widened(columns, 1, 1);
        for (std::size_t k = 0; k < column_count; ++k) columns[k] = columns[k] || (wider[k] && more[k]);
    }
    // Where lid or muscle fills the column in both eyes nothing tells what lies beneath: a mass on either side goes on through.
    const ColumnMask closed = narrowed(widened(columns, bridged_clock, bridged_polar), bridged_clock, bridged_polar);
    for (std::size_t k = 0; k < column_count; ++k) columns[k] = columns[k] || (closed[k] && full[k]);

    std::vector<Candidate> found;
    for (const auto& region : connected_columns(columns)) {
        double excess_mm3 = 0.0, thickest = 0.0, polar_sum = 0.0;
        std::vector<float> tops;
        std::vector<SureColumn> sure;
        for (const std::size_t k : region) {
            const ColumnAt at = column_at(k);
            polar_sum += PolarBlock::polar_radians(at.polar);
            // What the fellow eye has on its wall lies on the mass here.
            if (!full[k]) tops.push_back(own[k] - std::max(normal[k], 0.0f));
            if (!seeds[k]) continue;
            const double r = block.outer_radius_mm(at.clock, at.polar) + 0.5 * highest_mm;
            const double area = r * r * std::sin(PolarBlock::polar_radians(at.polar)) * PolarBlock::polar_step * (2.0 * std::numbers::pi / clocks);
            const double excess = area * static_cast<double>(own[k] - most[k]);
            sure.push_back({k, static_cast<float>(excess)});
            excess_mm3 += excess;
            thickest = std::max(thickest, static_cast<double>(own[k]));
        }
        const auto usual_top = static_cast<float>(quantile(std::move(tops), 0.5));
        std::vector<std::size_t> cells;
        for (const std::size_t k : region) {
            const ColumnAt at = column_at(k);
            const float top = full[k] ? usual_top : own[k] - std::max(normal[k], 0.0f);
            for (int h = 0; h < heights; ++h) {
                const double mm = PolarBlock::height_mm(h);
                if (mm >= 0.0 && mm <= static_cast<double>(top) + lowest_mm) cells.push_back(PolarBlock::index(at.clock, at.polar, h));
            }
        }
        // What lies wholly behind the equator is muscle, oblique or nerve sheath.
        if (excess_mm3 < least_mm3 || thickest < 3.0 || block.limbus_arc_mm(polar_sum / static_cast<double>(region.size())) > hindmost_middle_mm) continue;
        found.push_back({std::move(cells), excess_mm3 / displaced_alone_mm3, false, std::move(sure)});
    }
    return found;
}

double share_with_fat(const PolarBlock& block, const FinderSettings& settings) {
    const std::optional<FatLevel> level = fat_level(block, block, settings);
    if (!level) return 0.0;
    constexpr double from_deg = 65.0, to_deg = 100.0;
    constexpr float near_mm = 5.0f;
    const ColumnMap tissue = tissue_on_wall(block, *level);
    double all = 0.0, open = 0.0;
    for (std::size_t k = 0; k < column_count; ++k) {
        const double polar = PolarBlock::polar_radians(column_at(k).polar) * degrees;
        if (polar < from_deg || polar > to_deg) continue;
        ++all;
        open += tissue[k] >= 0.0f && tissue[k] <= near_mm;
    }
    return open / all;
}

}  // namespace perisclera
