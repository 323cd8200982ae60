// SPDX-License-Identifier: Apache-2.0
#pragma once
// What one visit shows with certainty and another does not, looked for at its place on the other's images (perisclera/segmentation/expected_element.h).
#include <vector>

#include "perisclera/segmentation/expected_element.h"
#include "visit_analysis.h"

namespace perisclera {

/// What was seen at one visit where another shows an element.
struct PlaceAtVisit {
    std::size_t which, at;               ///< eye, and the visit that was looked at
    std::size_t showing, element;        ///< the visit that shows it, and its index there
    PlaceHolds holds;
    WhyNotTold why;
    std::vector<std::size_t> asked;      ///< series of the visit looked at
};

/// Adds to each visit what is seen at the place of another's element, and tells all places that were looked at. Each element is looked for from the nearest date that shows it
/// by itself; of two as near from the earlier. Nothing happens where there is one visit.
std::vector<PlaceAtVisit> look_where_expected_elsewhere(std::vector<AnalysedVisit>& visits, const std::vector<StudyDate>& dates);

}  // namespace perisclera
