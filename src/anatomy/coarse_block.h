// SPDX-License-Identifier: Apache-2.0
#pragma once
// A coarse isotropic copy of a series, axes along the patient's, so that turned, tilted and sagittal series need no special case. Patient frame of the series, mm.
#include <array>
#include <optional>
#include <vector>

#include "perisclera/core/modality.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera {

struct CoarseBlock {
    static constexpr double step_mm = 2.0;
    std::array<int, 3> n{};
    PatientPoint origin{0, 0, 0};
    std::vector<float> value;   ///< HU, bone and air clipped (soft_tissue.h), or MR signal; mean of eight places
    std::vector<char> imaged;   ///< is the place within the series?
    [[nodiscard]] std::size_t at(int x, int y, int z) const {
        return (static_cast<std::size_t>(z) * static_cast<std::size_t>(n[1]) + static_cast<std::size_t>(y)) * static_cast<std::size_t>(n[0]) + static_cast<std::size_t>(x);
    }
    [[nodiscard]] PatientPoint position(int x, int y, int z) const { return origin + PatientVector{x * step_mm, y * step_mm, z * step_mm}; }
    /// Between the nodes, linearly; nothing where one of them is not imaged.
    [[nodiscard]] std::optional<double> sample(PatientPoint p) const;
    /// The value below which this share of what is imaged lies; 0 where nothing is.
    [[nodiscard]] double share_below(double share) const;
};

CoarseBlock coarse_copy(const VoxelGrid& grid, Modality modality);

/// The step in signal that counts as a full-strength edge, per mm.
double edge_scale(const CoarseBlock& block, Modality modality);

}  // namespace perisclera
