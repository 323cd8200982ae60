// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/element_fusion.h"

#include <algorithm>

#include "candidate_regions.h"
#include "joined_voids.h"
#include "mass_support.h"
#include "polar_regions.h"

namespace perisclera {

namespace {

/// Frames of two series agree on the eye to a few degrees of axis: 2.5 mm on its surface.
constexpr double frame_tolerance_mm = 2.5;

PolarMask body_of(const FoundElement& e) {
    PolarMask mask(PolarBlock::cell_count, 0);
    float most = 0.0f;
    for (const ElementCell& c : e.cells) most = std::max(most, c.share);
    for (const ElementCell& c : e.cells) mask[c.index] = c.share >= 0.5f * most;
    return mask;
}

bool same_place(const PolarBlock& block, const FoundElement& a, const FoundElement& b) {
    const PolarMask first = grown_by_mm(block, body_of(a), frame_tolerance_mm), second = body_of(b);
    double shared = 0.0, whole = 0.0;
    for (std::size_t i = 0; i < second.size(); ++i) {
        if (!second[i]) continue;
        const double v = block.cell_volume_mm3(PolarBlock::cell(i));
        whole += v;
        if (first[i]) shared += v;
    }
    return whole > 0.0 && shared > 0.3 * whole;
}

/// Smaller is the better place to measure.
int rank(const FoundElement& element) {
    switch (element.own_signs ? Appearance::ct_mass : element.appearance) {
        case Appearance::ct_dark: return 0;
        case Appearance::ct_bright: return 1;
        case Appearance::t2_bright: return 2;
        case Appearance::ct_mass: return 3;
        case Appearance::mr_void: return 4;
        case Appearance::mr_mass: return 5;
    }
    return 6;
}

}  // namespace

std::optional<FinderSettings> finder_settings(Modality modality, SeriesRole role, double kvp) {
    if (modality == Modality::ct) return FinderSettings{Modality::ct, false, kvp};
    switch (role) {
        case SeriesRole::t2: return FinderSettings{Modality::mr, true, kvp, true};
        case SeriesRole::t2_fatsat:
        case SeriesRole::stir: return FinderSettings{Modality::mr, true, kvp, false};
        case SeriesRole::t1:
        case SeriesRole::pd: return FinderSettings{Modality::mr, false, kvp, true};
        default: return std::nullopt;
    }
}

bool shows_displaced_fat(const EyeView& view) {
    const auto settings = finder_settings(view.modality, view.role, view.kvp);
    return settings && (settings->modality == Modality::ct || settings->voids) && view.block.coverage(-2.0, 8.0) >= 0.9;
}

bool shows_displaced_fat_all_round(const EyeView& view) {
    constexpr double most_columns = 0.6;
    return shows_displaced_fat(view) && share_with_fat(view.block, *finder_settings(view.modality, view.role, view.kvp)) >= most_columns;
}

FusedElements fuse_elements(const std::vector<const EyeView*>& views, const std::vector<std::vector<FoundElement>>& found, const std::vector<EyeElement>& jointly) {
    struct Entry {
        std::size_t view;
        FoundElement element;
        double volume;
        std::vector<std::size_t> seen_in;
    };
    std::vector<Entry> entries;
    FusedElements result;
    for (const EyeElement& e : jointly) entries.push_back({e.view, e.found, volume_mm3(views[e.view]->block, e.found), e.also_seen_in});
    const auto seen_jointly = [&](const FoundElement& e) { return std::any_of(jointly.begin(), jointly.end(), [&](const EyeElement& j) { return same_columns(j.found, e); }); };
    const auto told_jointly = [&](std::size_t view, const FoundElement& e) {
        return std::any_of(jointly.begin(), jointly.end(), [&](const EyeElement& j) { return j.view == view && j.found.appearance == e.appearance && same_columns(j.found, e); });
    };
    const bool has_ct = std::any_of(views.begin(), views.end(), [](const EyeView* v) { return v->modality == Modality::ct; });
    bool ct_shows_sponge = false;
    for (std::size_t v = 0; v < views.size(); ++v) {
        if (views[v]->modality == Modality::ct) ct_shows_sponge = ct_shows_sponge || smallest_shown(views[v]->block, {Modality::ct, false, views[v]->kvp}).sponge_diameter_mm.has_value();
        for (const FoundElement& e : found[v]) {
            // Fat may be as bright as vitreous on T2.
            if (e.appearance == Appearance::t2_bright && std::any_of(views.begin(), views.end(), [&](const EyeView* other) { return shows_fat_there(*other, e); })) continue;
            if (e.appearance == Appearance::t2_bright && told_jointly(v, e)) continue;
            Entry entry{v, e, volume_mm3(views[v]->block, e), {}};
            if (is_mass(e.appearance)) {
                if (seen_jointly(e)) continue;
                MassSupport support = support_of(views, found, v, e);
                // MR alone in this, against a CT that would show it, is most often a muscle cut along its face.
                const bool believable = support.kind == MassSupport::contradicted && e.strength >= 1.0 && (!has_ct || views[v]->modality == Modality::ct);
                if (believable || support.kind == MassSupport::disputed || support.kind == MassSupport::faint) result.unexplained_soft_mass = true;
                if (support.kind != MassSupport::confirmed && support.kind != MassSupport::alone) continue;
                entry.seen_in = std::move(support.seen_in);
            }
            entries.push_back(std::move(entry));
        }
    }
    std::stable_sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
        return rank(a.element) != rank(b.element) ? rank(a.element) < rank(b.element) : a.volume > b.volume;
    });
    std::vector<EyeElement>& fused = result.elements;
    for (Entry& entry : entries) {
        const bool mass = is_mass(entry.element.appearance);
        const auto known = std::find_if(fused.begin(), fused.end(), [&](const EyeElement& f) {
            // Whatever lies there holds off fat on all sides of itself.
            if (mass && same_columns(f.found, entry.element)) return true;
            return (f.view != entry.view || entry.element.appearance == Appearance::mr_void || mass) && same_place(views[f.view]->block, f.found, entry.element);
        });
        if (known != fused.end()) {
            auto& also = known->also_seen_in;
            // T2 may show only the most watery part of it, CT only the part that stands clear of muscle.
            constexpr double part = 0.5;
            const bool may_be_part = mass && (known->found.appearance == Appearance::t2_bright || (entry.element.own_signs && known->found.appearance == Appearance::ct_bright));
            if (may_be_part && volume_mm3(views[known->view]->block, known->found) < part * entry.volume) {
                also.push_back(known->view);
                also.insert(also.end(), entry.seen_in.begin(), entry.seen_in.end());
                std::sort(also.begin(), also.end());
                also.erase(std::unique(also.begin(), also.end()), also.end());
                std::erase(also, entry.view);
                known->view = entry.view;
                known->found = std::move(entry.element);
                // Other parts of the same.
                const FoundElement& whole = known->found;
                const auto is_part = [&](const EyeElement& f) {
                    return (f.found.appearance == Appearance::t2_bright || (whole.own_signs && f.found.appearance == Appearance::ct_bright)) && same_columns(f.found, whole);
                };
                fused.erase(std::remove_if(known + 1, fused.end(), is_part), fused.end());
                continue;
            }
            if (known->view != entry.view && std::find(also.begin(), also.end(), entry.view) == also.end()) also.push_back(entry.view);
            continue;
        }
        if (entry.element.appearance == Appearance::mr_void && ct_shows_sponge) continue;
        fused.push_back({entry.view, std::move(entry.element), std::move(entry.seen_in)});
    }
    fused = joined_voids(std::move(fused), views);
    std::stable_sort(fused.begin(), fused.end(), [&](const EyeElement& a, const EyeElement& b) {
        return volume_mm3(views[a.view]->block, a.found) > volume_mm3(views[b.view]->block, b.found);
    });
    return result;
}

}  // namespace perisclera
