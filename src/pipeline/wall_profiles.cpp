// SPDX-License-Identifier: Apache-2.0
#include "wall_profiles.h"

#include <algorithm>

#include "perisclera/core/text.h"

namespace perisclera {

std::vector<report::ProfileEntry> wall_profiles(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids, const std::string& timepoint) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const std::vector<const EyeView*> views = analysed.views(which);
    const std::vector<AnalysedElement>& elements = analysed.eye[which].elements;
    std::vector<const FoundElement*> found;
    for (const AnalysedElement& e : elements) found.push_back(&e.element.found);
    std::vector<report::ProfileEntry> profiles;
    for (std::size_t k = 0; k < elements.size(); ++k) {
        const EyeElement& element = elements[k].element;
        const ProfileSite site = profile_site(views[element.view]->block, element.found, elements[k].measured);
        std::vector<std::size_t> seen_in{element.view};
        // A view kept apart has a frame of its own: its columns are other places.
        for (const std::size_t v : element.also_seen_in)
            if (!views[v]->kept_apart && !views[element.view]->kept_apart) seen_in.push_back(v);
        for (const std::size_t v : seen_in) {
            const EyeView& view = *views[v];
            const ImageSeries& series = visit.series[view.series];
            profiles.push_back({timepoint, series.description.series_uid, view.modality, eye, ids[k], wall_profile(view.block, series.grid().geometry(), view.modality, site, found)});
        }
    }
    return profiles;
}

void take_contrast_thickness(report::EyeEntry& entry, Eye eye, const std::vector<report::ProfileEntry>& profiles) {
    for (report::ElementEntry& e : entry.elements) {
        Measurement<HuMm>& own_product = e.largest_section.contrast_thickness;
        if (const auto* why = e.largest_section.area.unmeasured()) {   // nothing of the element's size is told, nor is this
            own_product = *why;
            continue;
        }
        const auto own = std::find_if(profiles.begin(), profiles.end(), [&](const report::ProfileEntry& p) { return p.eye == eye && p.element_id == e.id && p.series_uid == e.measured_on.front(); });
        if (own == profiles.end() || own->modality != Modality::ct) {
            own_product = Unmeasured{say("reason.no_ct_number")};
            continue;
        }
        if (const auto* none = std::get_if<Unmeasured>(&own->profile)) {
            own_product = *none;
            continue;
        }
        const Measurement<SignalMm>& told = std::get<WallProfile>(own->profile).contrast_thickness;
        if (const auto* m = told.measured())
            own_product = Measured<HuMm>(HuMm(m->value().value()), HuMm(m->low().value()), HuMm(m->high().value()));
        else
            own_product = *told.unmeasured();
    }
}

}  // namespace perisclera
