// SPDX-License-Identifier: Apache-2.0
#pragma once
// The slices of series that are taken together, in any order by several threads.
#include <algorithm>
#include <atomic>
#include <cstddef>
#include <vector>

#include "perisclera/core/shared_work.h"
#include "perisclera/image/voxel_grid.h"
#include "plane_filter.h"

namespace perisclera::phantoms {

/// `acquisition.slice(k)` gives slice k of each of `series` series; it depends on k alone, so the volumes do not depend on `threads`.
template <class Acquisition>
std::vector<VoxelGrid> acquired_slices(const Acquisition& acquisition, std::size_t series, const VolumeGeometry& geometry, unsigned threads) {
    const auto size = geometry.size();
    const std::size_t area = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
    std::vector<std::vector<float>> values(series, std::vector<float>(area * static_cast<std::size_t>(size[2])));
    std::atomic<int> next{0};
    share_work(static_cast<int>(threads), [&] {
        for (int k = next++; k < size[2]; k = next++) {
            const std::vector<Image> slices = acquisition.slice(k);
            for (std::size_t s = 0; s < series; ++s) std::copy(slices[s].values.begin(), slices[s].values.end(), values[s].data() + area * static_cast<std::size_t>(k));
        }
    });
    std::vector<VoxelGrid> grids;
    for (std::vector<float>& of_series : values) grids.emplace_back(geometry, std::move(of_series));
    return grids;
}

}  // namespace perisclera::phantoms
