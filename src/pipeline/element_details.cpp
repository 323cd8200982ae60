// SPDX-License-Identifier: Apache-2.0
#include "element_details.h"

#include <algorithm>

#include "perisclera/segmentation/rim_calcification.h"

namespace perisclera {

namespace {

/// Seen where all CT that lie in the element's frame show it.
bool rim_is_calcified(const AnalysedVisit& visit, std::size_t which, const EyeElement& element, const std::vector<const FoundElement*>& others) {
    const std::vector<const EyeView*> shown = visit.views(which), fellow = fellow_views(visit, which);
    bool seen = false;
    for (std::size_t v = 0; v < shown.size(); ++v) {
        const bool in_frame = v == element.view || (!shown[v]->kept_apart && !shown[element.view]->kept_apart);
        if (shown[v]->modality != Modality::ct || !in_frame) continue;
        if (fellow[v] == nullptr || !shows_calcified_rim(shown[v]->block, fellow[v]->block, element.found, others, shown[v]->kvp)) return false;
        seen = true;
    }
    return seen;
}

}  // namespace

void tell_details(AnalysedVisit& visit, std::size_t which) {
    const std::vector<const EyeView*> shown = visit.views(which);
    std::vector<const FoundElement*> all;
    for (const AnalysedElement& e : visit.eye[which].elements) all.push_back(&e.element.found);
    for (AnalysedElement& e : visit.eye[which].elements) {
        const EyeView& view = *shown[e.element.view];
        std::vector<const FoundElement*> others = all;
        std::erase(others, &e.element.found);
        e.calcified_rim = rim_is_calcified(visit, which, e.element, others);
        if (view.modality == Modality::ct && e.measured.form == ElementForm::encircling)
            e.junction = ring_junction(WallProfiler(view.block, Modality::ct, all), view.block, e.element.found, e.measured);
    }
}

}  // namespace perisclera
