// SPDX-License-Identifier: Apache-2.0
#pragma once
// Of shares known only by evidence those of one body with the least surface. Total variation: Chan TF, Esedoglu S, Nikolova M, SIAM J Appl Math 2006;66:1632-1648; minimised
// as by Chambolle A, Pock T, J Math Imaging Vis 2011;40:120-145.
#include <vector>

#include "perisclera/alignment/polar_block.h"
#include "polar_regions.h"

namespace perisclera {

/// A part of the polar grid: its clock hours may run over 12, or all round.
struct GridStretch {
    int first_clock, clocks, first_polar, polars, first_height, heights;
    bool round;

    [[nodiscard]] std::size_t size() const { return static_cast<std::size_t>(clocks) * static_cast<std::size_t>(polars) * static_cast<std::size_t>(heights); }
    [[nodiscard]] std::size_t at(int c, int p, int h) const {
        return (static_cast<std::size_t>(c) * static_cast<std::size_t>(polars) + static_cast<std::size_t>(p)) * static_cast<std::size_t>(heights) + static_cast<std::size_t>(h);
    }
    [[nodiscard]] std::size_t in_grid(int c, int p, int h) const { return PolarBlock::index((first_clock + c) % PolarBlock::clock_count, first_polar + p, first_height + h); }
    /// Calls visit(place in the stretch, place in the grid) for each cell.
    template <class Visit>
    void for_each(Visit&& visit) const {
        for (int c = 0; c < clocks; ++c)
            for (int p = 0; p < polars; ++p)
                for (int h = 0; h < heights; ++h) visit(at(c, p, h), in_grid(c, p, h));
    }
};

/// The mask with some 5 mm about it along clock and meridian, from within the wall to as high as elements reach. Precondition: not empty.
GridStretch stretch_about(const PolarMask& mask);

/// Shares from 0 to 1 for which the integral of evidence times share, plus their surface times `surface_mm`, is least. `evidence`: from -1, surely within, to 1, surely
/// without. A part is kept where its evidence outweighs its surface: a ball whose radius is more than three times `surface_mm`.
std::vector<float> least_surface(const PolarBlock& block, const GridStretch& stretch, const std::vector<float>& evidence, double surface_mm);

}  // namespace perisclera
