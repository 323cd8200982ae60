// SPDX-License-Identifier: Apache-2.0
#pragma once
// The slices of one series, taken in any order by several threads.
#include <atomic>
#include <cstddef>
#include <vector>

#include "perisclera/core/shared_work.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera::phantoms {

/// `acquisition.slice(k, out)` writes slice k, row by row; it depends on k alone, so the volume does not depend on `threads`.
template <class Acquisition>
VoxelGrid acquired_slices(const Acquisition& acquisition, const VolumeGeometry& geometry, unsigned threads) {
    const auto size = geometry.size();
    const std::size_t area = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
    std::vector<float> values(area * static_cast<std::size_t>(size[2]));
    std::atomic<int> next{0};
    share_work(static_cast<int>(threads), [&] {
        for (int k = next++; k < size[2]; k = next++) acquisition.slice(k, values.data() + area * static_cast<std::size_t>(k));
    });
    return VoxelGrid(geometry, std::move(values));
}

}  // namespace perisclera::phantoms
