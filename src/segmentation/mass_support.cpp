// SPDX-License-Identifier: Apache-2.0
#include "mass_support.h"

#include <algorithm>

#include "candidate_regions.h"
#include "columns.h"
#include "polar_regions.h"

namespace perisclera {

namespace {

/// Eye frames of two series agree to 2.5 mm, in columns of the grid at the equator.
constexpr int clock_reach = 4, polar_reach = 6;

/// Of a mass what is sure, not what it was grown to.
ColumnMask columns_of(const FoundElement& e) {
    ColumnMask out(column_count, 0);
    for (const SureColumn& k : e.sure_columns) out[k.column] = 1;
    if (!e.sure_columns.empty()) return out;
    for (const ElementCell& c : e.cells) {
        const PolarCell at = PolarBlock::cell(c.index);
        if (c.share >= 0.5f) out[column(at.clock, at.polar)] = 1;
    }
    return out;
}

/// Fat held off by the one where the other is sure too, mm3.
double displaced_where(const FoundElement& mass, const FoundElement& other) {
    const ColumnMask there = widened(columns_of(other), clock_reach, polar_reach);
    double sum = 0.0;
    for (const SureColumn& c : mass.sure_columns)
        if (there[c.column]) sum += static_cast<double>(c.displaced_mm3);
    return sum;
}

bool is_t2(const EyeView& view) {
    const auto settings = finder_settings(view.modality, view.role, view.kvp);
    return settings && settings->t2_weighted;
}

/// What this series shows where the mass lies, clear of wall and skin.
std::vector<float> values_in(const EyeView& view, const FoundElement& mass) {
    std::vector<float> inside;
    for (const ElementCell& c : mass.cells) {
        const double h = PolarBlock::height_mm(PolarBlock::cell(c.index).height);
        if (c.share >= 0.7f && h >= 1.0 && view.block.inside(c.index)) inside.push_back(view.block.value(c.index));
    }
    return inside;
}

/// On T2 a hydrogel of three quarters water looks like fat. What another series knows not to be fat, and T2 not to be muscle, is watery.
bool watery_on_t2(const EyeView& view, const FoundElement& mass) {
    if (!is_t2(view)) return false;
    return quantile(values_in(view, mass), 0.3) > 0.6 * view.block.orbit_signal(0.75);
}

}  // namespace

bool shows_fat_there(const EyeView& view, const FoundElement& element) {
    if (is_t2(view) || !shows_displaced_fat(view)) return false;
    std::vector<float> inside = values_in(view, element);
    if (inside.empty()) return false;
    const double middle = quantile(std::move(inside), 0.5);
    return view.modality == Modality::ct ? middle < -45.0 : middle > 0.8 * view.block.orbit_signal(0.75);
}

bool same_columns(const FoundElement& a, const FoundElement& b) {
    const ColumnMask first = columns_of(a), second = columns_of(b);
    const ColumnMask wide = widened(first, clock_reach, polar_reach), wide_second = widened(second, clock_reach, polar_reach);
    const auto share = [](const ColumnMask& whole, const ColumnMask& in) {
        double n = 0.0, shared = 0.0;
        for (std::size_t i = 0; i < whole.size(); ++i) n += whole[i], shared += whole[i] && in[i];
        return n > 0.0 ? shared / n : 0.0;
    };
    return share(first, wide_second) > 0.3 || share(second, wide) > 0.3;
}

MassSupport support_of(const std::vector<const EyeView*>& views, const std::vector<std::vector<FoundElement>>& found, std::size_t view, const FoundElement& mass) {
    // Two series together, where they agree, must hold off nearly what one alone would have to.
    constexpr double together_mm3 = 0.7 * displaced_alone_mm3, each_mm3 = 0.25 * together_mm3, hint_mm3 = 0.25 * displaced_alone_mm3;
    // A single MR series has misled more often: a free real eye showed 1.3.
    constexpr double mr_alone = 2.0;
    MassSupport support{MassSupport::too_little, {}};
    bool asked = false, denied = false, hinted = false;
    for (std::size_t v = 0; v < views.size(); ++v) {
        if (v == view) continue;
        bool seen = !is_t2(*views[view]) && mass.strength * displaced_alone_mm3 >= 0.5 * together_mm3 && watery_on_t2(*views[v], mass);
        bool any_there = false;
        for (const FoundElement& other : found[v]) {
            if (!same_columns(mass, other)) continue;
            any_there = true;
            if (other.appearance == Appearance::ct_dark || other.appearance == Appearance::ct_bright) return {MassSupport::explained, {}};
            const bool also_mass = is_mass(other.appearance);
            const double here = displaced_where(mass, other), there = displaced_where(other, mass);
            const bool enough = here + there >= together_mm3 && std::min(here, there) >= each_mm3;
            seen = seen || !also_mass || enough;
            hinted = hinted || (also_mass && here + there >= hint_mm3 && std::min(here, there) >= 0.25 * hint_mm3);
        }
        if (seen) support.seen_in.push_back(v);
        // CT is the sharper: of a mass on MR it must show something.
        const bool unseen_on_ct = views[v]->modality == Modality::ct && shows_displaced_fat(*views[v]) && !any_there;
        denied = denied || unseen_on_ct || shows_fat_there(*views[v], mass);
        asked = asked || shows_displaced_fat(*views[v]);
    }
    if (denied)
        support.kind = support.seen_in.empty() ? MassSupport::contradicted : MassSupport::disputed;
    else if (!support.seen_in.empty())
        support.kind = MassSupport::confirmed;
    else if (hinted)
        support.kind = MassSupport::faint;
    else if (asked)
        support.kind = MassSupport::contradicted;
    else if (mass.strength >= (views[view]->modality == Modality::ct ? 1.0 : mr_alone))
        support.kind = MassSupport::alone;
    return support;
}

}  // namespace perisclera
