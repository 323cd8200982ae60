// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/inflammation.h"

#include <algorithm>
#include <utility>

#include "perisclera/segmentation/metal.h"
#include "signs_on_ct.h"
#include "signs_on_mr.h"

namespace perisclera {

namespace {

/// Seen where all that can tell show it.
SignReading joined(SignReading a, SignReading b) {
    if (a == SignReading::not_assessable) return b;
    if (b == SignReading::not_assessable) return a;
    return a == b ? a : SignReading::not_seen;
}

/// Do the elements lie where this series, too, has them? Not where it or theirs could not be brought into the common frame.
bool in_one_frame(const std::vector<const EyeView*>& views, std::size_t view, const std::vector<const EyeElement*>& elements) {
    return std::all_of(elements.begin(), elements.end(), [&](const EyeElement* e) { return e->view == view || (!views[view]->kept_apart && !views[e->view]->kept_apart); });
}

std::vector<const FoundElement*> found_of(const std::vector<const EyeElement*>& elements) {
    std::vector<const FoundElement*> found;
    for (const EyeElement* e : elements) found.push_back(&e->found);
    return found;
}

/// Fit to tell at all: CT whose slices are thin enough, without metal and its streaks.
bool may_tell(const EyeView& view) {
    if (view.modality != Modality::ct || view.block.slice_spacing_mm() > thickest_slices_mm) return false;
    const auto metal = metal_round_globe(view.block);
    return metal && metal->empty();
}

bool shows_water(SeriesRole role) { return role == SeriesRole::t2 || role == SeriesRole::t2_fatsat || role == SeriesRole::stir; }

/// Could one of them be hydrogel, by the manner in which it shows? It holds fluid itself.
bool may_hold_fluid(const std::vector<const FoundElement*>& elements) {
    return std::any_of(elements.begin(), elements.end(), [](const FoundElement* e) { return is_mass(e->appearance) || e->appearance == Appearance::t2_bright; });
}

}  // namespace

PolarMask cells_of(const std::vector<const FoundElement*>& elements, float least_share) {
    PolarMask mask(PolarBlock::cell_count, 0);
    for (const FoundElement* e : elements)
        for (const ElementCell& c : e->cells)
            if (c.share >= least_share) mask[c.index] = 1;
    return mask;
}

InflammationReading signs_of_inflammation(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const EyeElement*>& elements,
                                          const std::vector<const EyeElement*>& of_fellow) {
    InflammationReading out;
    if (elements.empty()) return out;
    const std::vector<const FoundElement*> here = found_of(elements), there = found_of(of_fellow);
    for (std::size_t v = 0; v < own.size(); ++v) {
        if (!may_tell(*own[v]) || !in_one_frame(own, v, elements)) continue;
        GasReading gas = gas_outside(own[v]->block, fellow[v] ? &fellow[v]->block : nullptr, here);
        out.gas_outside_element = joined(out.gas_outside_element, gas.sign);
        for (GasPocket& p : gas.pockets) p.view = v;
        if (out.gas.empty()) out.gas = std::move(gas.pockets);
        if (fellow[v] && own[v]->role == SeriesRole::ct_soft) out.fat_stranding = joined(out.fat_stranding, fat_stranding(own[v]->block, fellow[v]->block, here, there));
    }
    for (std::size_t v = 0; v < own.size() && !may_hold_fluid(here); ++v)
        for (std::size_t t1 = 0; t1 < own.size(); ++t1) {
            if (!shows_water(own[v]->role) || own[t1]->role != SeriesRole::t1 || !fellow[v] || !fellow[t1] || !in_one_frame(own, v, elements) || !in_one_frame(own, t1, elements)) continue;
            out.collection = joined(out.collection, collection({*own[v], *fellow[v]}, {*own[t1], *fellow[t1]}, here, there));
        }
    if (out.gas_outside_element != SignReading::seen) out.gas.clear();
    return out;
}

}  // namespace perisclera
