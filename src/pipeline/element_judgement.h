// SPDX-License-Identifier: Apache-2.0
#pragma once
// One element of a visit, measured and judged.
#include <optional>
#include <vector>

#include "visit_analysis.h"

namespace perisclera {

struct JudgedElement {
    ElementMeasurements measured;
    MaterialOpinion opinion;
};

/// Measures the element and judges what it is made of; a swollen body is outlined on all series first, and `element` then holds that outline. `all`: what was found of this
/// eye, it among them; `of_fellow`: of the other one. Nothing where it is likelier normal anatomy.
std::optional<JudgedElement> judge_element(const AnalysedVisit& visit, std::size_t which, EyeElement& element, const std::vector<const FoundElement*>& all,
                                           const std::vector<const FoundElement*>& of_fellow);

}  // namespace perisclera
