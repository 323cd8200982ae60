// SPDX-License-Identifier: Apache-2.0
#include "wall_profiles.h"

#include <optional>

namespace perisclera {

std::vector<report::ProfileEntry> wall_profiles(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const std::vector<const EyeView*> views = analysed.views(which);
    const std::vector<AnalysedElement>& elements = analysed.eye[which].elements;
    std::vector<const FoundElement*> found;
    for (const AnalysedElement& e : elements) found.push_back(&e.element.found);
    std::vector<std::optional<WallProfiler>> profilers(views.size());
    std::vector<report::ProfileEntry> profiles;
    for (std::size_t k = 0; k < elements.size(); ++k) {
        const EyeElement& element = elements[k].element;
        const ProfileSite site = profile_site(views[element.view]->block, element.found, elements[k].measured.largest_section.clock_hour);
        std::vector<std::size_t> seen_in{element.view};
        // A view kept apart has a frame of its own: its columns are other places.
        for (const std::size_t v : element.also_seen_in)
            if (!views[v]->kept_apart && !views[element.view]->kept_apart) seen_in.push_back(v);
        for (const std::size_t v : seen_in) {
            const EyeView& view = *views[v];
            if (!profilers[v]) profilers[v].emplace(view.block, view.modality, found);
            profiles.push_back({timepoint, visit.series[view.series].description.series_uid, view.modality, eye, ids[k], profilers[v]->at(site)});
        }
    }
    return profiles;
}

}  // namespace perisclera
