// SPDX-License-Identifier: Apache-2.0
#include "element_judgement.h"

#include <algorithm>
#include <utility>

#include "perisclera/core/text.h"
#include "perisclera/measurement/element_layers.h"
#include "perisclera/measurement/indentation_on_ct.h"
#include "perisclera/measurement/scleral_arcs.h"
#include "perisclera/segmentation/body_outline.h"

namespace perisclera {

namespace {

/// What is dark on MR without being known for hydrogel may be a void of unknown size within tissue as dark.
bool may_be_void(const FoundElement& found, const MaterialOpinion& opinion) {
    constexpr double not_excluded = 0.05;
    const auto share = [&](MaterialClass m) { return opinion.probability[static_cast<std::size_t>(m)]; };
    return (found.appearance == Appearance::mr_mass || found.appearance == Appearance::mr_void) &&
           share(MaterialClass::solid_silicone) + share(MaterialClass::silicone_sponge) > not_excluded;
}

/// What a mass known by the fat it holds off is likely to be. What several series show together lies in no fellow eye, whatever it is made of.
bool likelier_anatomy(const FoundElement& found, const MaterialOpinion& opinion) {
    return is_mass(found.appearance) && !found.own_signs && opinion.probability[static_cast<std::size_t>(MaterialClass::other)] >= anatomy_from;
}

/// What this patient's vitreous shows on a series: in this eye, or in the other one where this one holds something else.
std::optional<double> vitreous_signal(const AnalysedVisit& visit, std::size_t series, std::size_t which) {
    for (const std::size_t eye : {which, 1 - which}) {
        const ContentsOpinion::Label inside = visit.eye[eye].contents.label;
        const auto& view = visit.series[series].eye[eye];
        if (view && (inside == ContentsOpinion::Label::vitreous || inside == ContentsOpinion::Label::undetermined)) return view->block.globe().interior_mean;
    }
    return std::nullopt;
}

/// The CT that shows the sclera best, or nullptr: on MR it is as dark as what lies on it, and its outer surface shows by what lies beyond.
const EyeView* sclera_on_ct(const std::vector<const EyeView*>& shown) {
    const EyeView* best = nullptr;
    for (const EyeView* v : shown)
        if (v->modality == Modality::ct && !v->kept_apart && (best == nullptr || v->block.globe().residual < best->block.globe().residual)) best = v;
    return best;
}

/// Is it a swollen body, whose edge no single series shows all round? What is seen for silicone on CT, by itself or as a void, is measured as such.
bool is_swollen(const FoundElement& found, const MaterialOpinion& opinion) {
    return is_mass(found.appearance) || found.appearance == Appearance::t2_bright ||
           (found.appearance == Appearance::ct_bright && opinion.label == MaterialClass::hydrogel);
}

}  // namespace

std::optional<JudgedElement> judge_element(const AnalysedVisit& visit, std::size_t which, EyeElement& element, const std::vector<const FoundElement*>& all,
                                           const std::vector<const FoundElement*>& of_fellow) {
    const std::vector<const EyeView*> shown = visit.views(which);
    const EyeView& view = *shown[element.view];
    std::vector<std::optional<double>> vitreous;
    for (const std::size_t s : visit.eye[which].views) vitreous.push_back(vitreous_signal(visit, s, which));
    const EyeView* sclera = sclera_on_ct(shown);
    const auto measure = [&] {
        ElementMeasurements m = measure_element(view.block, element.found);
        if (view.modality == Modality::ct) return measured_by_layers(WallProfiler(view.block, Modality::ct, all), view.block, element.found, std::move(m), view.kvp);
        if (sclera == nullptr) return m;
        m = with_arcs_on(std::move(m), view.block.equatorial_radius_mm(), sclera->block.equatorial_radius_mm());
        return view.kept_apart ? m : with_indentation_on(*sclera, element.found, std::move(m));
    };
    ElementMeasurements measured = measure();
    MaterialOpinion opinion = judge_material(read_element(shown, vitreous, element, measured));
    if (likelier_anatomy(element.found, opinion)) return std::nullopt;
    if (is_swollen(element.found, opinion))
        if (auto outline = outline_of_body(shown, fellow_views(visit, which), element, of_fellow)) {
            element.found.cells = std::move(outline->cells);
            element.found.edge_seen = outline->edge_seen;
            measured = measure();
        }
    if (may_be_void(element.found, opinion)) measured = without_sizes(std::move(measured), say("reason.muscle_or_element"));
    return JudgedElement{std::move(measured), std::move(opinion)};
}

}  // namespace perisclera
