// SPDX-License-Identifier: Apache-2.0
#include "perisclera/masks/surface.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "perisclera/image/iso_surface.h"

namespace perisclera::masks {

namespace {

constexpr int border = 1;   ///< empty voxels round the box, so that the surface closes

struct Block {
    std::array<std::size_t, 3> size{};
    std::vector<float> values{};
};

Block with_border(const VoxelShares& shares) {
    Block block;
    for (std::size_t axis = 0; axis < 3; ++axis) block.size[axis] = static_cast<std::size_t>(shares.size[axis] + 2 * border);
    block.values.assign(block.size[0] * block.size[1] * block.size[2], 0.0f);
    auto from = shares.share.begin();
    for (int z = 0; z < shares.size[2]; ++z)
        for (int y = 0; y < shares.size[1]; ++y, from += shares.size[0]) {
            const std::size_t row = (static_cast<std::size_t>(z + border) * block.size[1] + static_cast<std::size_t>(y + border)) * block.size[0] + border;
            std::copy_n(from, shares.size[0], block.values.begin() + static_cast<std::ptrdiff_t>(row));
        }
    return block;
}

/// What it encloses, in samples; by the divergence theorem.
double enclosed(const IsoSurface& surface) {
    double six = 0.0;
    for (const auto& [i, j, k] : surface.triangles) {
        const auto &a = surface.corners[i], &b = surface.corners[j], &c = surface.corners[k];
        six += a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
    }
    return six / 6.0;
}

/// The surface that encloses `wanted` voxels; none where that jumps past them.
IsoSurface enclosing(const Block& block, double wanted) {
    constexpr double near_enough = 1e-3, too_far = 0.02;   // of the volume
    double low = 0.0, high = static_cast<double>(*std::max_element(block.values.begin(), block.values.end())), level = 0.5 * std::min(high, 1.0);
    for (int step = 0;; ++step) {
        IsoSurface surface = iso_surface(block.values, block.size, level);
        const double volume = enclosed(surface), off = std::abs(volume - wanted) / wanted;
        if (off <= near_enough || (step == 16 && off <= too_far)) return surface;
        if (step == 16) return {};
        (volume > wanted ? low : high) = level;
        level = 0.5 * (low + high);
    }
}

}  // namespace

double filled_mm3(const VolumeGeometry& geometry, const VoxelShares& shares) {
    return std::accumulate(shares.share.begin(), shares.share.end(), 0.0, [](double sum, float s) { return sum + static_cast<double>(s); }) * geometry.voxel_volume_mm3();
}

Surface surface_round(const VolumeGeometry& geometry, const VoxelShares& shares) {
    Surface surface;
    const double filled = filled_mm3(geometry, shares);
    if (!(filled > 0.0)) return surface;
    IsoSurface found = enclosing(with_border(shares), filled / geometry.voxel_volume_mm3());
    for (const auto& c : found.corners)
        surface.corners.push_back(geometry.to_patient({shares.first[0] + c[0] - border, shares.first[1] + c[1] - border, shares.first[2] + c[2] - border}));
    surface.triangles = std::move(found.triangles);
    // Slices may run against rows and columns; then the patient sees the grid mirrored.
    if (dot(geometry.slice_step(), geometry.normal()) < 0.0)
        for (auto& t : surface.triangles) std::swap(t[1], t[2]);
    return surface;
}

}  // namespace perisclera::masks
