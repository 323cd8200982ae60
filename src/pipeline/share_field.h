// SPDX-License-Identifier: Apache-2.0
#pragma once
// The share that an element fills of any place of the eye, from the shares of the polar grid's cells.
#include <vector>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

class ShareField {
public:
    /// `block` may be of another series than the element was found in: equal cells are equal places of the eye. It must outlive this.
    ShareField(const PolarBlock& block, const FoundElement& element);
    /// Half the element's own level, at which its outline runs: thin elements never fill a cell.
    [[nodiscard]] double level() const { return 0.5 * static_cast<double>(std::min(most_, 1.0f)); }
    /// Linear between the cells.
    [[nodiscard]] float at(EyePoint p) const;
    /// The greatest share of the column at a clock position (in cells, cyclic) and polar angle (in cells), linear between the columns.
    [[nodiscard]] float most_in_column(double clock, double polar) const;
    [[nodiscard]] const std::vector<float>& shares() const { return share_; }
    [[nodiscard]] const PolarBlock& block() const { return block_; }

private:
    const PolarBlock& block_;
    std::vector<float> share_, column_most_;
    float most_ = 0.0f;
    double nearest_, farthest_;   ///< mm from the globe's centre, outside which there is nothing
};

}  // namespace perisclera
