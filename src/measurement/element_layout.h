// SPDX-License-Identifier: Apache-2.0
#pragma once
// An element laid out over the eye: what lies in each column of the polar grid and on each clock hour, and how far round the clock it reaches.
#include <vector>

#include "perisclera/alignment/polar_block.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// The element laid out: share summed over height for each column, and what goes with it.
struct ElementLayout {
    std::vector<double> thickness;            ///< mm of full element along the ray, per column (clock, polar)
    std::vector<double> area;                 ///< of each half-plane, mm2, per clock
    std::vector<double> volume;               ///< per clock, mm3
    double total = 0.0, sum_x = 0.0, sum_y = 0.0, polar = 0.0, height = 0.0;
    /// Index into `thickness`.
    [[nodiscard]] static std::size_t column(int clock, int polar) { return static_cast<std::size_t>(clock * PolarBlock::polar_count + polar); }
};

ElementLayout lay_out(const PolarBlock& block, const FoundElement& element);

/// The mean over so many neighbours to either side; the last value's neighbour is the first.
std::vector<double> smoothed_round(const std::vector<double>& v, int half);

/// A moulded band has one section all round: what muscle, lid or bone beside it hide or add in single clock hours does not count.
void even_out_ring(ElementLayout& layout);

/// The clock index whose area has this rank among all (1: the largest).
int clock_of_rank(const std::vector<double>& area, double rank);

struct ClockExtent {
    double from, span;   ///< hours
    int gaps;            ///< empty stretches inside, at least half an hour long
};

/// Ends where the section falls to this share of the typical one, between columns by interpolation.
ClockExtent clock_extent(const std::vector<double>& volume, double share);

}  // namespace perisclera
