// SPDX-License-Identifier: Apache-2.0
#pragma once
// Width and thickness of a section by its thickness along the arc. A swollen body tapers to nothing at its edges, which blur hides; so it is not asked where the profile falls
// below some level but which section would look like this: between an ellipse and a rectangle (superellipses), seen sharp or blurred. What the profile leaves open of
// its shape is doubt of the width.
#include <optional>
#include <vector>

namespace perisclera {

struct SectionFit {
    double first, last;   ///< edges, as fractional indices of the profile
    double thickness;     ///< in the profile's unit, where it is largest
    double edge_doubt, thickness_doubt;   ///< standard uncertainties that the shape leaves: of each edge in cells, and of the thickness
};

/// `profile`: thickness by equal steps across the section; `blur`: standard deviation in steps that it may have at most. Nothing where it is empty.
std::optional<SectionFit> fit_section(const std::vector<double>& profile, double blur);

/// The same of a rod, round or oval (common practice, no source), by the part of the profile that is clear of its edges; `blur`: standard deviation in steps, known to a quarter.
std::optional<SectionFit> fit_rod(const std::vector<double>& profile, double blur);

}  // namespace perisclera
