// SPDX-License-Identifier: Apache-2.0
#pragma once
// What share of an element lies at any point of the eye, from the shares of the polar cells of the series it was measured on.
#include <vector>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// Linear in clock position, polar angle and height between the cells' centres; 0 beyond the grid. Refers to the block.
class ShareField {
public:
    ShareField(const PolarBlock& block, const FoundElement& element);
    /// Half the element's own level: thin elements never fill a cell.
    [[nodiscard]] double level() const;
    [[nodiscard]] float at(EyePoint p) const;

private:
    const PolarBlock& block_;
    std::vector<float> share_;
    float most_ = 0.0f;
};

}  // namespace perisclera
