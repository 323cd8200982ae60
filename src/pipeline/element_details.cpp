// SPDX-License-Identifier: Apache-2.0
#include "element_details.h"

namespace perisclera {

void tell_details(AnalysedVisit& visit, std::size_t which) {
    const std::vector<const EyeView*> shown = visit.views(which);
    std::vector<const FoundElement*> all;
    for (const AnalysedElement& e : visit.eye[which].elements) all.push_back(&e.element.found);
    for (AnalysedElement& e : visit.eye[which].elements) {
        const EyeView& view = *shown[e.element.view];
        if (view.modality != Modality::ct) continue;
        if (e.measured.form == ElementForm::encircling) e.junction = ring_junction(WallProfiler(view.block, Modality::ct, all), view.block, e.element.found, e.measured);
    }
}

}  // namespace perisclera
