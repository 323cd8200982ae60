// SPDX-License-Identifier: Apache-2.0
#pragma once
// Each element of an eye against the last date that shows it: what changed, and whether that is a change of the element or of what was recognised of it.
#include <string>
#include <vector>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/timeline/element_change.h"
#include "visit_analysis.h"

namespace perisclera {

/// A visit, and what its elements are called.
struct NamedVisit {
    AnalysedVisit analysed;
    std::array<std::vector<std::string>, 2> names;   ///< of the right and the left eye, as AnalysedEye::elements
};

/// The element of this name, or nullptr.
const AnalysedElement* find_element(const NamedVisit& visit, std::size_t which, const std::string& name);

/// Could this visit have shown an element that was measured as `element` was elsewhere: on CT, or on the same weighting of MR?
bool looked_the_same_way(const AnalysedVisit& visit, std::size_t which, const NamedVisit& showing, const AnalysedElement& element);

/// Of an element that is found in one visit and not, or only in part, in another: may its place there look the same? By the kind of series that shows it most plainly. `found`: what
/// was found of it there, or nullptr.
bool looks_the_same(const NamedVisit& showing, const AnalysedElement& element, const NamedVisit& other, const AnalysedElement* found, std::size_t which);

struct ComparedDates {
    std::string name;
    std::size_t before, after;     ///< visits
    ElementChange change;
    bool recognised_in_part;       ///< what it has more or less of looks the same at both dates: no size of it can be compared
    bool in_pieces;                ///< at one of both dates, where it was added up
};

/// All elements of one eye that two dates show, by rising later date.
std::vector<ComparedDates> compare_dates(const PatientStudies& patient, const std::vector<NamedVisit>& visits, std::size_t which);

}  // namespace perisclera
