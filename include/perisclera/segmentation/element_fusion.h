// SPDX-License-Identifier: Apache-2.0
#pragma once
// One list of elements for an eye from what each of its series shows: what lies in the same place is the same element.
#include <vector>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

struct EyeElement {
    std::size_t view;                        ///< index into the views: where it is measured
    FoundElement found;
    std::vector<std::size_t> also_seen_in;   ///< other views that show it
};

/// What the finder may look for in a series of this role; nothing where the role does not serve.
std::optional<FinderSettings> finder_settings(Modality modality, SeriesRole role, double kvp);

/// Would a mass that holds fat off the wall show in this series: CT, or MR with bright fat, of the whole surroundings of the globe?
bool shows_displaced_fat(const EyeView& view);

/// Would it show nearly anywhere: fat begins near the wall on most of the columns round the equator. Where lids, muscle and bone lie
/// against the globe, as in many a real orbit, nothing could be seen to be displaced.
bool shows_displaced_fat_all_round(const EyeView& view);

/// Does this series, of CT or T1, show plain fat where another shows an element? Nothing to say is no.
bool shows_fat_there(const EyeView& view, const FoundElement& element);

struct FusedElements {
    std::vector<EyeElement> elements;        ///< largest first
    /// A mass that the fellow eye does not have, on one series, while another that could show it does not: most often muscle or gland.
    bool unexplained_soft_mass = false;
};

/// `found[i]` are the elements of views[i]. A sponge or solid element is measured on CT, a hydrogel on T2. A void on MR that
/// a CT able to show a sponge does not confirm is normal anatomy and dropped; a mass that other series able to show it contradict is no element but is told.
/// `jointly`: what the series show together; where one series shows the same by itself, and most of it, that series has it.
FusedElements fuse_elements(const std::vector<const EyeView*>& views, const std::vector<std::vector<FoundElement>>& found, const std::vector<EyeElement>& jointly = {});

}  // namespace perisclera
