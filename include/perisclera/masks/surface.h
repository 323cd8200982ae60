// SPDX-License-Identifier: Apache-2.0
#pragma once
// The closed surface round what fills a share of each voxel, finer than the voxels, and its file.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/image/volume_geometry.h"
#include "perisclera/image/voxel_shares.h"

namespace perisclera::masks {

struct Surface {
    std::vector<PatientPoint> corners{};
    std::vector<std::array<std::uint32_t, 3>> triangles{};   ///< as seen from outside, corners run anticlockwise
};

/// What the shares add up to, mm3.
double filled_mm3(const VolumeGeometry& geometry, const VoxelShares& shares);

/// The surface of equal share (linear between the voxels' middles, none filled beyond the grid) that encloses what the shares add up to. Of a body thick against the voxels
/// that is the surface at one half; one that fills no voxel has none at one half, and keeps its volume so. No triangles where nothing is filled, or where no surface of equal share
/// encloses that much: what fills the voxels of two slices all alike jumps from nothing to all between the two.
Surface surface_round(const VolumeGeometry& geometry, const VoxelShares& shares);

/// PLY, binary, little endian, in DICOM's patient coordinates (LPS), mm; `comment`: one line.
std::string ply_bytes(const Surface& surface, std::string_view comment);

}  // namespace perisclera::masks
