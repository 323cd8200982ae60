// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where a section ends, by its thickness along the arc and by what kind of section it is.
#include <utility>
#include <vector>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

struct SectionEdges {
    double first, last;   ///< fractional index
    double peak;
    double doubt = 0.0, peak_doubt = 0.0;   ///< standard uncertainties that the section's shape leaves: of each edge and of the peak
};

/// What an element's section is like: moulded of even thickness between its edges, a round or oval rod, or grown as it may (common practice, no source); or a swollen body that
/// was outlined on all series.
enum class SectionShape { moulded, rod, grown, outlined };

SectionShape shape_of(const FoundElement& element);

/// The stretch about the peak that is at least so high, its ends between columns by interpolation.
std::pair<double, double> stretch_above(const std::vector<double>& profile, int peak, double level);

/// SectionEdges of a profile about its highest point: by the section that would look like this, or where it is half as high, moved outwards as far as its roundness asks.
/// `blur_cells`: standard deviation of the blur along the profile, in its steps.
SectionEdges edges_of(const std::vector<double>& profile, SectionShape shape, double blur_cells);

}  // namespace perisclera
