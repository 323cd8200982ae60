// SPDX-License-Identifier: Apache-2.0
#pragma once
// Voxels in space, owning their buffer; x fastest, then y, then z. CtVolume and MrVolume are unrelated types on top:
// only a CtVolume yields Hounsfield units.
#include <algorithm>
#include <cstddef>
#include <vector>

#include "perisclera/core/units.h"
#include "perisclera/image/volume_geometry.h"

namespace perisclera {

class VoxelGrid {
public:
    /// Precondition: values.size() equals the product of geometry.size().
    VoxelGrid(VolumeGeometry geometry, std::vector<float> values);

    [[nodiscard]] const VolumeGeometry& geometry() const { return geometry_; }
    [[nodiscard]] const std::vector<float>& values() const { return values_; }
    [[nodiscard]] std::size_t offset(int x, int y, int z) const {
        const auto n = geometry_.size();
        return (static_cast<std::size_t>(z) * static_cast<std::size_t>(n[1]) + static_cast<std::size_t>(y)) * static_cast<std::size_t>(n[0]) +
               static_cast<std::size_t>(x);
    }
    [[nodiscard]] float at(int x, int y, int z) const { return values_[offset(x, y, z)]; }
    /// Trilinear interpolation; indices are clamped to the grid. `point` in voxel indices.
    [[nodiscard]] float sample(VoxelPoint point) const;
    /// Trilinear interpolation at a patient point, clamped to the grid.
    [[nodiscard]] float sample(PatientPoint point) const { return sample(geometry_.to_voxel(point)); }
    /// The voxels of a sub-block, copied.
    [[nodiscard]] VoxelGrid sub_block(std::array<int, 3> first, std::array<int, 3> size) const;

private:
    VolumeGeometry geometry_;
    std::vector<float> values_;
};

/// CT: values are Hounsfield units.
class CtVolume {
public:
    explicit CtVolume(VoxelGrid grid) : grid_(std::move(grid)) {}
    [[nodiscard]] const VoxelGrid& grid() const { return grid_; }
    [[nodiscard]] Hu at(PatientPoint point) const { return Hu(static_cast<double>(grid_.sample(point))); }

private:
    VoxelGrid grid_;
};

/// MR: values have no unit and mean nothing outside their own series.
class MrVolume {
public:
    explicit MrVolume(VoxelGrid grid) : grid_(std::move(grid)) {}
    [[nodiscard]] const VoxelGrid& grid() const { return grid_; }

private:
    VoxelGrid grid_;
};

}  // namespace perisclera
