// SPDX-License-Identifier: Apache-2.0
#pragma once
// A coarse copy of the images along the patient's axes, for what is seen from afar. Signals without unit: CT numbers clipped beyond soft tissue and bone, in
// hundreds; MR signals against their surroundings, which takes away the coil's shading.
#include <array>
#include <cstddef>
#include <vector>

#include "perisclera/core/frames.h"
#include "perisclera/core/modality.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera {

class CoarseCopy {
public:
    static constexpr double step_mm = 2.5;
    /// From `low` to `high`, patient coordinates.
    CoarseCopy(const VoxelGrid& grid, Modality modality, PatientPoint low, PatientPoint high);

    /// The same, blurred, and not imaged near where the images end; `sigma_mm` is the Gaussian's standard deviation.
    [[nodiscard]] CoarseCopy blurred(double sigma_mm) const;

    [[nodiscard]] const std::array<int, 3>& size() const { return size_; }
    [[nodiscard]] std::size_t index(int x, int y, int z) const { return (static_cast<std::size_t>(z) * static_cast<std::size_t>(size_[1]) + static_cast<std::size_t>(y)) * static_cast<std::size_t>(size_[0]) + static_cast<std::size_t>(x); }
    [[nodiscard]] bool imaged(std::size_t i) const { return weight_[i] > 0.5F; }
    [[nodiscard]] double value(std::size_t i) const { return static_cast<double>(value_[i]); }
    [[nodiscard]] PatientPoint node(int x, int y, int z) const { return low_ + PatientVector{step_mm * x, step_mm * y, step_mm * z}; }
    struct Sample {
        double value;
        PatientVector gradient;   ///< per mm
    };
    /// Trilinear; false where the point or one of the nodes round it is not imaged.
    [[nodiscard]] bool sample(PatientPoint p, Sample& out) const;

private:
    void blur(std::vector<float>& values, double sigma_mm) const;

    PatientPoint low_;
    std::array<int, 3> size_{};
    std::vector<float> value_, weight_;   ///< weight: 1 where imaged, 0 elsewhere
};

}  // namespace perisclera
