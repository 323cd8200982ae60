// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/polar_block.h"

#include <utility>

namespace perisclera {

namespace {

EyeVector direction(double clock_hours, double polar) {
    const double angle = clock_hours * std::numbers::pi / 6.0;
    return {std::sin(polar) * std::sin(angle), std::sin(polar) * std::cos(angle), std::cos(polar)};
}

/// A run of the grid, `stride` apart, each value with its neighbours by halves; the ends have themselves beside them, or each other where the run is cyclic.
void smooth_along(const std::vector<float>& from, std::vector<float>& to, std::size_t count, std::size_t stride, bool cyclic) {
    const std::size_t runs = from.size() / (count * stride);
    for (std::size_t run = 0; run < runs; ++run)
        for (std::size_t k = 0; k < count; ++k) {
            const std::size_t before = k > 0 ? k - 1 : cyclic ? count - 1 : 0, after = k + 1 < count ? k + 1 : cyclic ? 0 : count - 1;
            const std::size_t start = run * count * stride;
            const float *here = &from[start + k * stride], *low = &from[start + before * stride], *high = &from[start + after * stride];
            float* out = &to[start + k * stride];
            for (std::size_t i = 0; i < stride; ++i) out[i] = 0.5f * here[i] + 0.25f * (low[i] + high[i]);
        }
}

std::vector<float> smooth(std::vector<float> values) {
    constexpr std::size_t heights = PolarBlock::height_count, polars = PolarBlock::polar_count, clocks = PolarBlock::clock_count;
    std::vector<float> other(values.size());
    smooth_along(values, other, clocks, heights * polars, true);
    smooth_along(other, values, polars, heights, false);
    smooth_along(values, other, heights, 1, false);
    return other;
}

}  // namespace

PolarBlock::PolarBlock(const VoxelGrid& grid, Globe globe)
    : globe_(std::move(globe)),
      geometry_(grid.geometry()),
      equatorial_radius_(globe_.equatorial_radius_mm()),
      in_plane_mm_(std::max(grid.geometry().spacing_mm()[0], grid.geometry().spacing_mm()[1])),
      slice_spacing_mm_(grid.geometry().spacing_mm()[2]),
      value_(cell_count),
      inside_(cell_count),
      radius_(static_cast<std::size_t>(clock_count) * polar_count) {
    for (int c = 0; c < clock_count; ++c)
        for (int p = 0; p < polar_count; ++p) {
            const PatientVector d = globe_.frame.to_patient(direction(clock_hours(c), polar_radians(p)));
            const double radius = globe_.outer_radius_mm(d);
            radius_[static_cast<std::size_t>(c * polar_count + p)] = radius;
            for (int h = 0; h < height_count; ++h) {
                const PatientPoint point = globe_.frame.origin() + d * (radius + height_mm(h));
                const std::size_t i = index(c, p, h);
                inside_[i] = grid.geometry().contains(point);
                value_[i] = grid.sample(point);
            }
        }
    smoothed_ = smooth(value_);
}

EyePoint PolarBlock::eye_point(double clock_hours, double polar, double height) const {
    const EyeVector d = direction(clock_hours, polar);
    const double r = globe_.outer_radius_mm(globe_.frame.to_patient(d)) + height;
    return {d.x * r, d.y * r, d.z * r};
}

double PolarBlock::coverage(double low, double high) const {
    std::size_t in = 0, all = 0;
    for (std::size_t i = 0; i < cell_count; ++i) {
        const double h = height_mm(cell(i).height);
        if (h < low || h > high) continue;
        ++all;
        in += inside_[i] != 0;
    }
    return all == 0 ? 0.0 : static_cast<double>(in) / static_cast<double>(all);
}

double PolarBlock::orbit_signal(double q) const {
    constexpr double degrees = 180.0 / std::numbers::pi;
    std::vector<float> sample;
    for (std::size_t i = 0; i < cell_count; i += 3) {
        const PolarCell c = cell(i);
        const double h = height_mm(c.height), p = polar_radians(c.polar) * degrees;
        if (inside_[i] && h > 2.5 && h < 8.0 && p > 80.0 && p < 140.0) sample.push_back(value_[i]);
    }
    if (sample.empty()) return 0.0;
    const auto k = static_cast<std::ptrdiff_t>(q * static_cast<double>(sample.size() - 1));
    std::nth_element(sample.begin(), sample.begin() + k, sample.end());
    return static_cast<double>(sample[static_cast<std::size_t>(k)]);
}

}  // namespace perisclera
