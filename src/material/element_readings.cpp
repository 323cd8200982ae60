// SPDX-License-Identifier: Apache-2.0
#include "perisclera/material/element_readings.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/quantile.h"

namespace perisclera {

namespace {

/// Cells the element fills, away from its surface where it has an inside.
std::vector<std::size_t> core_of(const FoundElement& element) {
    std::vector<char> full(PolarBlock::cell_count, 0);
    for (const ElementCell& c : element.cells) full[c.index] = c.share >= 0.7f;
    std::vector<std::size_t> all, deep;
    for (const ElementCell& e : element.cells) {
        if (!full[e.index]) continue;
        all.push_back(e.index);
        const PolarCell c = PolarBlock::cell(e.index);
        bool inside = c.height > 0 && c.height + 1 < PolarBlock::height_count && c.polar > 0 && c.polar + 1 < PolarBlock::polar_count;
        if (inside)
            for (const int d : {-1, 1})
                inside = inside && full[PolarBlock::index(c.clock, c.polar, c.height + d)] && full[PolarBlock::index(c.clock, c.polar + d, c.height)] &&
                         full[PolarBlock::index((c.clock + d + PolarBlock::clock_count) % PolarBlock::clock_count, c.polar, c.height)];
        if (inside) deep.push_back(e.index);
    }
    return deep.size() >= 20 ? deep : all;
}

/// How far the element's inner face stands off the fitted sclera, mm: of its columns the mean of the middle one and of one near the lowest, since what
/// lies on the wall touches it somewhere.
std::optional<double> off_wall(const FoundElement& element) {
    constexpr float face = 0.5f;   // share of the cell in which the face lies
    std::vector<float> share(PolarBlock::height_count, 0.0f);
    std::vector<float> heights;
    const auto finish_column = [&] {
        const auto first = std::find_if(share.begin(), share.end(), [](float s) { return s >= face; });
        if (first == share.end()) return;
        const float below = first == share.begin() ? 0.0f : *(first - 1);
        const double cells_down = static_cast<double>((*first - face) / (*first - below));
        heights.push_back(static_cast<float>(PolarBlock::height_mm(static_cast<int>(first - share.begin())) - cells_down * PolarBlock::height_step_mm));
    };
    for (std::size_t k = 0; k < element.cells.size(); ++k) {
        const auto [index, filled] = element.cells[k];
        share[index % PolarBlock::height_count] = filled;
        if (k + 1 < element.cells.size() && element.cells[k + 1].index / PolarBlock::height_count == index / PolarBlock::height_count) continue;
        finish_column();
        std::fill(share.begin(), share.end(), 0.0f);
    }
    if (heights.empty()) return std::nullopt;
    return 0.5 * static_cast<double>(quantile(heights, 0.5) + quantile(heights, 0.1));
}

std::optional<EvidenceKind> ratio_kind(SeriesRole role) {
    switch (role) {
        case SeriesRole::t1:
        case SeriesRole::t1_fatsat: return EvidenceKind::t1_ratio;
        case SeriesRole::t2:
        case SeriesRole::t2_fatsat:
        case SeriesRole::stir: return EvidenceKind::t2_ratio;
        default: return std::nullopt;
    }
}

std::vector<float> values_at(const PolarBlock& block, const std::vector<std::size_t>& cells) {
    std::vector<float> values;
    for (const std::size_t i : cells)
        if (block.inside(i)) values.push_back(block.value(i));
    return values;
}

/// How many series show it, those of MR counted half: what misleads one, thick slices and a muscle cut along its face, misleads the other.
double independent_series(const std::vector<const EyeView*>& views, const EyeElement& element) {
    const auto counts = [&](std::size_t view) { return views[view]->modality == Modality::ct ? 1.0 : 0.5; };
    double sum = counts(element.view);
    for (const std::size_t view : element.also_seen_in) sum += counts(view);
    return sum;
}

}  // namespace

std::vector<Reading> read_element(const std::vector<const EyeView*>& views, const std::vector<std::optional<double>>& vitreous_on, const EyeElement& element, const ElementMeasurements& measured) {
    std::vector<Reading> readings;
    const FoundElement& found = element.found;
    const std::vector<std::size_t> core = core_of(found);
    const Measured<Mm>* thickness = measured.largest_section.thickness.measured();
    const double t = thickness ? thickness->value().value() : 0.0;
    // One series alone proves no more than that something lies there which the fellow eye has not.
    const bool mass = is_mass(found.appearance) && (!found.own_signs || element.also_seen_in.empty());
    constexpr double muscle_hu = 50.0;  // without contrast agent; common practice, no source
    const auto muscle_on_ct = mass ? std::optional(muscle_hu) : std::nullopt;
    for (std::size_t v = 0; v < views.size(); ++v) {
        const EyeView& view = *views[v];
        const bool own = v == element.view;
        if (view.modality == Modality::ct) {
            if (own && found.appearance == Appearance::ct_bright && found.thinner_than_blur) {
                std::vector<float> shown;
                for (const ElementCell& c : found.cells)
                    if (c.share > 0.25f) shown.push_back(view.block.value(c.index));
                if (!shown.empty()) readings.push_back({EvidenceKind::ct_peak, view.series, quantile(shown, 0.9), 12.0, view.kvp});
            } else if (own) {
                readings.push_back({EvidenceKind::ct_number, view.series, found.core_signal, found.core_signal_uncertainty, view.kvp, false, muscle_on_ct});
            } else if (!found.thinner_than_blur && core.size() >= 12) {
                const std::vector<float> values = values_at(view.block, core);
                if (values.size() < core.size() * 6 / 10) continue;
                const double spread = 0.7413 * (quantile(values, 0.75) - quantile(values, 0.25));
                readings.push_back({EvidenceKind::ct_number, view.series, quantile(values, 0.5), 5.0 + 0.5 * spread, view.kvp, true, muscle_on_ct});
            }
            continue;
        }
        const std::optional<EvidenceKind> kind = ratio_kind(view.role);
        const double vitreous = vitreous_on[v].value_or(0.0);
        constexpr double darkest_share = 0.1;  // of the tissue round the back of the globe: its muscles
        if (!kind || !(vitreous > 0.0)) continue;
        // The frames of two series agree to a millimetre or two: a layer thinner than that, or than a slice, is diluted beyond use, unless it was found by both.
        if (!own && !found.own_signs && (found.thinner_than_blur || t < std::max(3.0, view.block.largest_spacing_mm()) || core.size() < 12)) continue;
        const std::vector<float> values = values_at(view.block, core);
        if (values.empty() || values.size() < core.size() * 6 / 10) continue;
        const double spread = 0.7413 * (quantile(values, 0.75) - quantile(values, 0.25)) / vitreous;
        // What lies beside it shines in, the more the brighter that is.
        const double dilution = 0.35 * std::exp(-t / view.block.largest_spacing_mm()) * std::max(1.0, view.block.orbit_signal(0.5) / vitreous);
        // A region known only by the fat it holds off may hold muscle too, and fat by partial volume.
        const double foreign = mass ? 0.25 * view.block.orbit_signal(0.75) / vitreous : 0.0;
        constexpr double least_diluted = 0.3;   // of a void
        const double value = own ? found.core_signal / vitreous : quantile(values, found.appearance == Appearance::mr_void ? least_diluted : 0.5) / vitreous;
        // A void that shows some signal has it from its neighbours, by the blur between thick slices; how much of it is not known.
        constexpr double borrowed = 0.7;
        const double from_beside = found.appearance == Appearance::mr_void ? borrowed * std::max(value, 0.0) : 0.0;
        readings.push_back({*kind, view.series, value, std::hypot(std::hypot(0.05 + 0.5 * spread, own ? 0.0 : dilution), std::hypot(foreign, from_beside)), view.kvp, !own,
                            mass ? std::optional(view.block.orbit_signal(darkest_share) / vitreous) : std::nullopt, view.timing});
    }
    const std::size_t series = views[element.view]->series;
    // How thick a void is cannot be told from muscle and tendon beside it.
    if (thickness && found.appearance != Appearance::mr_void) readings.push_back({EvidenceKind::section_thickness, series, t, thickness->standard_uncertainty().value()});
    // Only what CT shows by itself has an inner face there; a bright layer thinner than the blur was looked for on the wall.
    const bool has_face = found.appearance == Appearance::ct_dark || (found.appearance == Appearance::ct_bright && !found.thinner_than_blur);
    if (const auto height = off_wall(found); height && has_face) {
        const EyeView& view = *views[element.view];
        const double blur = 0.2 * view.block.largest_spacing_mm();   // of the face, by slices cut across it (assumed)
        readings.push_back({EvidenceKind::off_wall, series, *height, std::hypot(view.block.globe().radius_uncertainty.value(), blur), view.kvp});
    }
    // A mass lies along the wall because that is where it was looked for.
    const Measured<ClockHours>* span = measured.span.measured();
    if (mass)
        readings.push_back({EvidenceKind::displaces_fat, series, independent_series(views, element), 0.0});
    else
        readings.push_back({EvidenceKind::fits_wall, series, span ? span->value().value() : 0.0, span ? span->standard_uncertainty().value() : 0.0});
    return readings;
}

}  // namespace perisclera
