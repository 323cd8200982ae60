// SPDX-License-Identifier: Apache-2.0
// Slices of the synthesised head before any scanner's blur: each pixel divided into cells, each cell the average of what lies in it over the slice's
// thickness. Coarsely where all is alike, finely where labels change or thin layers pass. Slice profile: a box of the slice thickness, softened.
#pragma once

#include <array>
#include <vector>

#include "head_map.h"
#include "plane_filter.h"
#include "scanner.h"
#include "tissue_texture.h"

namespace perisclera::phantoms {

class LabelSampler {
public:
    /// `margin`: pixels drawn around the slice on every side.
    LabelSampler(const Scan& scan, const VolumeGeometry& geometry, int cells_per_pixel, int margin);
    /// The cells of slice k, the margin's included.
    [[nodiscard]] Image slice(int k) const;

private:
    /// Where within a cell and how deep in the slice a label is looked up.
    struct Sample {
        double column, row;  ///< share of the cell's side
        double depth_mm;
        float weight;
    };
    class Probes;
    [[nodiscard]] HeadPoint head_at(double column, double row, double depth_mm, int k) const {
        return origin_ + step_[0] * column + step_[1] * row + step_[2] * k + normal_ * depth_mm;
    }
    void fill_pixel(Image& image, const Probes& probes, TissueTexture& texture, int x, int y, int k) const;

    const Scan& scan_;
    HeadMap map_;
    HeadPoint origin_;
    std::array<HeadVector, 3> step_;
    HeadVector normal_;
    std::array<int, 3> size_;
    double spacing_;
    double half_diagonal_mm_;  ///< of a voxel
    int cells_, margin_;
    std::vector<Sample> samples_;  ///< the slice profile, symmetric
};

}  // namespace perisclera::phantoms
