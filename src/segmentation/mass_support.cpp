// SPDX-License-Identifier: Apache-2.0
#include "mass_support.h"

#include <algorithm>

#include "columns.h"
#include "polar_regions.h"

namespace perisclera {

namespace {

/// Eye frames of two series agree to 2.5 mm, in columns of the grid at the equator.
constexpr int clock_reach = 4, polar_reach = 6;

ColumnMask columns_of(const FoundElement& e) {
    ColumnMask out(column_count, 0);
    for (const ElementCell& c : e.cells) {
        const PolarCell at = PolarBlock::cell(c.index);
        if (c.share >= 0.5f) out[column(at.clock, at.polar)] = 1;
    }
    return out;
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

bool is_t2(const EyeView& view) {
    const auto settings = finder_settings(view.modality, view.role, view.kvp);
    return settings && settings->t2_weighted;
}

/// On T2 a hydrogel of three quarters water looks like fat. What another series knows not to be fat, and T2 not to be muscle, is watery.
bool watery_on_t2(const EyeView& view, const FoundElement& mass) {
    if (!is_t2(view)) return false;
    std::vector<float> inside;
    for (const ElementCell& c : mass.cells) {
        const double h = PolarBlock::height_mm(PolarBlock::cell(c.index).height);
        if (c.share >= 0.7f && h >= 1.0 && view.block.inside(c.index)) inside.push_back(view.block.value(c.index));
    }
    return quantile(std::move(inside), 0.3) > 0.6 * view.block.orbit_signal(0.75);
}

}  // namespace

MassSupport support_of(const std::vector<const EyeView*>& views, const std::vector<std::vector<FoundElement>>& found, std::size_t view, const FoundElement& mass) {
    // Two series together must displace what one alone would have to.
    constexpr double strength_together = 0.7;
    MassSupport support{MassSupport::too_little, {}};
    bool asked = false;
    for (std::size_t v = 0; v < views.size(); ++v) {
        if (v == view) continue;
        bool seen = !is_t2(*views[view]) && mass.strength >= 0.5 * strength_together && watery_on_t2(*views[v], mass);
        for (const FoundElement& other : found[v]) {
            if (!same_columns(mass, other)) continue;
            if (other.appearance == Appearance::ct_dark || other.appearance == Appearance::ct_bright) return {MassSupport::explained, {}};
            const bool also_mass = other.appearance == Appearance::ct_mass || other.appearance == Appearance::mr_mass;
            seen = seen || !also_mass || mass.strength + other.strength >= strength_together;
        }
        if (seen) support.seen_in.push_back(v);
        asked = asked || shows_displaced_fat(*views[v]);
    }
    if (!support.seen_in.empty())
        support.kind = MassSupport::confirmed;
    else if (asked)
        support.kind = MassSupport::contradicted;
    else if (mass.strength >= 1.0)
        support.kind = MassSupport::alone;
    return support;
}

}  // namespace perisclera
