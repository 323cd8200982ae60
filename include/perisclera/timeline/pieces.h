// SPDX-License-Identifier: Apache-2.0
#pragma once
// An element that is one at one date and lies in pieces at another: what of the one date's elements are pieces of it, and what they are together.
#include <vector>

#include "perisclera/measurement/element_measurements.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// Which of `parts` lie where `whole` lies at another date, as far as frames and migration allow, beside each other and not one over another, and not where one of
/// `others`, the elements that the whole's date shows besides. Indices into `parts`, which were found in one series; fewer than two are no pieces, then none.
std::vector<std::size_t> pieces_of(const FoundElement& whole, const std::vector<const FoundElement*>& others, const std::vector<const FoundElement*>& parts);

/// All cells of the pieces, with the signals of the first. Precondition: not empty, found in one series.
FoundElement joined(const std::vector<const FoundElement*>& pieces);

/// Pieces measured on one series, added up: volume and length are sums, of which each piece's ends are in doubt by themselves, while its signal, surface, width and thickness
/// are mistaken alike in all of them; edges are the outermost, the largest section is that of all. `together`: of the joined cells, for form, clock hours and middle. A
/// size that one piece lacks the sum lacks. Precondition: not empty.
ElementMeasurements added_up(const std::vector<const ElementMeasurements*>& pieces, ElementMeasurements together);

}  // namespace perisclera
