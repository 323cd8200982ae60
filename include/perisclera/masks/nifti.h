// SPDX-License-Identifier: Apache-2.0
#pragma once
// A few voxels of a grid as a file of the whole grid, in NIfTI-1 (nifti1.h of the NIfTI Data Format Working Group, 2003, as amended 2007), gzip'd: bytes, as they are written
// to disk. One byte a voxel, in patient coordinates as that format has them (RAS: x to the right, y anterior), little endian.
//
// Of a grid whose slices do not stand square on their step (gantry tilt) only the affine (sform) is given, which is exact; the rotation (qform), which cannot tell it, is marked
// as not given. Readers that know no leaning grids, as ITK's, refuse such a file.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/image/volume_geometry.h"

namespace perisclera::masks {

/// A box of a grid's voxels; zero outside of it.
struct VoxelBytes {
    std::array<int, 3> first{}, size{};
    std::vector<std::uint8_t> value{};   ///< x fastest, then y, then z
};

/// A voxel's value is its byte times `slope`; `description`: at most 79 characters, the same whoever the patient is.
std::string nifti_bytes(const VolumeGeometry& geometry, const VoxelBytes& voxels, double slope, std::string_view description);

}  // namespace perisclera::masks
