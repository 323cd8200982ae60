// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/globe_contents.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

using Label = ContentsOpinion::Label;

/// What one series allows: of the whole, or of two layers.
struct Allowed {
    FluidSet whole = FluidSet::all();
    std::optional<NamedLevel> level{};
};

Allowed allowed_by(const CavityView& view) {
    if (const auto* even = std::get_if<EvenCavity>(&view.cavity)) return {possible_fluids(view, even->whole.value), std::nullopt};
    if (const auto* uneven = std::get_if<UnevenCavity>(&view.cavity)) {
        const FluidSet low = possible_fluids(view, uneven->low), high = possible_fluids(view, uneven->high);
        if (low == high) return {low, std::nullopt};
        // Under oil or gas that nearly fills the globe some fluid is left, too thin a layer for a level to be seen.
        constexpr double filled = 0.75;
        const FluidSet main = possible_fluids(view, uneven->main.value);
        if (uneven->main_share >= filled && (main.is_only(Fluid::silicone_oil) || main.is_only(Fluid::gas))) return {main, std::nullopt};
        // A drop of heavy liquid in vitreous leaves it what it is.
        constexpr double but_for_a_drop = 0.95;
        if (view.modality == Modality::ct && uneven->main_share >= but_for_a_drop && main.is_only(Fluid::vitreous)) return {main, std::nullopt};
        return {};
    }
    const auto& layered = std::get<LayeredCavity>(view.cavity);
    FluidSet above = possible_fluids(view, layered.upper.value), below = possible_fluids(view, layered.lower.value);
    if (above == below && above.is_only(Fluid::vitreous)) return {above, std::nullopt};
    sort_by_gravity(above, below);
    // On CT oils made heavy are denser than blood, so that no other fluid settles in vitreous with blood's number.
    if (view.modality == Modality::ct && above.is_only(Fluid::vitreous) && below.holds(Fluid::haemorrhage)) below = below.without({Fluid::other});
    return {FluidSet::all(), NamedLevel{above, below, layered.share_above, layered.level}};
}

std::optional<Label> label_of(FluidSet fluids) {
    if (fluids.is_only(Fluid::vitreous)) return Label::vitreous;
    if (fluids.is_only(Fluid::silicone_oil)) return Label::silicone_oil;
    if (fluids.is_only(Fluid::gas)) return Label::gas;
    if (fluids.is_only(Fluid::haemorrhage)) return Label::haemorrhage;
    return std::nullopt;
}

std::string rounded(double value) { return std::to_string(std::lround(value)); }

/// HU, or percent of the orbit's brightest signal.
std::string number(const CavityView& view, double signal) { return rounded(view.modality == Modality::ct ? signal : 100.0 * signal / view.orbit); }

std::string signal_in_words(const CavityView& view, double signal) {
    if (view.modality == Modality::ct) return say("contents.hounsfield", {{"number", number(view, signal)}, {"kilovolts", rounded(view.kvp)}});
    const std::string series = view.role == SeriesRole::t1 ? "T1" : view.role == SeriesRole::t2 ? "T2" : say("contents.other_mr", {{"role", name(view.role)}});
    return say("contents.share_of_brightest", {{"percent", number(view, signal)}, {"series", series}});
}

std::string seen_in(const CavityView& view) {
    if (const auto* even = std::get_if<EvenCavity>(&view.cavity)) return say("contents.even", {{"signal", signal_in_words(view, even->whole.value)}});
    if (const auto* uneven = std::get_if<UnevenCavity>(&view.cavity)) return say("contents.uneven", {{"low", number(view, uneven->low)}, {"high", signal_in_words(view, uneven->high)}});
    const auto& layered = std::get<LayeredCavity>(view.cavity);
    return say("contents.layered", {{"upper", signal_in_words(view, layered.upper.value)}, {"height", rounded(layered.level.value().value())}, {"lower", signal_in_words(view, layered.lower.value)}});
}

std::string seen_in(const std::vector<CavityView>& views) {
    constexpr std::size_t told = 3;
    std::string text;
    for (std::size_t k = 0; k < std::min(told, views.size()); ++k) text += (k == 0 ? "" : "; ") + seen_in(views[k]);
    return views.size() > told ? say("contents.more_series", {{"seen", text}, {"count", std::to_string(views.size() - told)}}) : text;
}

/// A filling counts as the whole from four fifths of the cavity on: fluid remains below every bubble of oil or gas. Of gas the least is told: its bearer must not
/// fly, nor be given nitrous oxide (common practice, no source).
Label label_of(const NamedLevel& level) {
    constexpr double filled = 0.8, next_to_nothing = 0.05;
    const double above = level.share_above.value().value();
    const bool mostly_above = above >= 0.5;
    const auto larger = label_of(mostly_above ? level.above : level.below);
    const double share = std::max(above, 1.0 - above);
    if (larger == Label::vitreous) return share > 1.0 - next_to_nothing && !level.above.is_only(Fluid::gas) ? Label::vitreous : Label::mixed;
    if (share < filled) return Label::mixed;
    return larger.value_or(Label::undetermined);
}

}  // namespace

ContentsOpinion judge_contents(const std::vector<CavityView>& shown) {
    std::vector<CavityView> views;
    std::copy_if(shown.begin(), shown.end(), std::back_inserter(views), tells_of_fluids);
    std::stable_partition(views.begin(), views.end(), [](const CavityView& v) { return v.modality == Modality::ct; });
    if (views.empty()) return {Label::undetermined, std::nullopt, say("contents.not_shown")};
    FluidSet whole = FluidSet::all();
    std::optional<NamedLevel> level;
    bool agree = true;
    for (const CavityView& view : views) {
        const Allowed allowed = allowed_by(view);
        whole = whole & allowed.whole;
        if (!allowed.level) continue;
        if (!level)
            level = allowed.level;
        else
            level->above = level->above & allowed.level->above, level->below = level->below & allowed.level->below;
    }
    if (level) {
        // A series that shows no level must at least allow what fills the larger part.
        agree = !level->above.empty() && !level->below.empty() && !(whole & (level->share_above.value() >= Fraction(0.5) ? level->above : level->below)).empty();
    } else {
        agree = !whole.empty();
    }
    const std::string seen = seen_in(views);
    if (!agree) return {Label::undetermined, std::nullopt, say("contents.contradictory", {{"seen", seen}})};
    if (level) return {label_of(*level), level, seen};
    if (const auto label = label_of(whole)) return {*label, std::nullopt, seen};
    if (whole == FluidSet::all()) return {Label::undetermined, std::nullopt, say("contents.not_told", {{"seen", seen}})};
    return {Label::undetermined, std::nullopt, say("contents.one_of", {{"fluids", in_words(whole)}, {"seen", seen}})};
}

}  // namespace perisclera
