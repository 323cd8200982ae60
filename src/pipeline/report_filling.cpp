// SPDX-License-Identifier: Apache-2.0
#include "report_filling.h"

#include <algorithm>

#include "globe_place.h"
#include "muscle_entries.h"
#include "perisclera/assemble/content_digest.h"
#include "perisclera/core/text.h"
#include "perisclera/measurement/element_surroundings.h"

namespace perisclera {

namespace {

using namespace report;

report::Material material_of(MaterialClass m) { return static_cast<report::Material>(m); }
static_assert(static_cast<int>(report::Material::other) == static_cast<int>(MaterialClass::other) &&
              static_cast<int>(report::Material::hydrogel) == static_cast<int>(MaterialClass::hydrogel) &&
              static_cast<int>(report::Material::silicone_sponge) == static_cast<int>(MaterialClass::silicone_sponge));

Junction junction_of(const RingJunction& j) {
    constexpr std::array kinds{JunctionKind::unknown, JunctionKind::not_seen, JunctionKind::overlap, JunctionKind::clip};
    return {kinds[static_cast<std::size_t>(j.sign)], j.clock_hour};
}

Form form_of(ElementForm f) {
    switch (f) {
        case ElementForm::encircling: return Form::encircling;
        case ElementForm::segmental: return Form::segmental;
        case ElementForm::radial: return Form::radial;
        case ElementForm::irregular: return Form::irregular;
    }
    return Form::irregular;
}

report::NextStudy next_of(NextStep n) {
    switch (n) {
        case NextStep::ct: return NextStudy::ct;
        case NextStep::t1: return NextStudy::t1;
        case NextStep::t2: return NextStudy::t2;
        case NextStep::second_ct_energy: return NextStudy::second_ct_energy;
        case NextStep::none: return NextStudy::none;
    }
    return NextStudy::none;
}

GlobeContents contents_of(ContentsOpinion::Label label) { return static_cast<GlobeContents>(label); }
static_assert(static_cast<int>(GlobeContents::vitreous) == static_cast<int>(ContentsOpinion::Label::vitreous) &&
              static_cast<int>(GlobeContents::silicone_oil) == static_cast<int>(ContentsOpinion::Label::silicone_oil) &&
              static_cast<int>(GlobeContents::gas) == static_cast<int>(ContentsOpinion::Label::gas) &&
              static_cast<int>(GlobeContents::haemorrhage) == static_cast<int>(ContentsOpinion::Label::haemorrhage) &&
              static_cast<int>(GlobeContents::mixed) == static_cast<int>(ContentsOpinion::Label::mixed) &&
              static_cast<int>(GlobeContents::undetermined) == static_cast<int>(ContentsOpinion::Label::undetermined));

report::Lens lens_of(LensStatus kind) { return static_cast<report::Lens>(kind); }
static_assert(static_cast<int>(report::Lens::natural) == static_cast<int>(LensStatus::natural) && static_cast<int>(report::Lens::implant) == static_cast<int>(LensStatus::implant) &&
              static_cast<int>(report::Lens::none) == static_cast<int>(LensStatus::none) && static_cast<int>(report::Lens::undetermined) == static_cast<int>(LensStatus::undetermined));

Sign sign_of(SignReading reading) { return static_cast<Sign>(reading); }
static_assert(static_cast<int>(Sign::seen) == static_cast<int>(SignReading::seen) && static_cast<int>(Sign::not_seen) == static_cast<int>(SignReading::not_seen) &&
              static_cast<int>(Sign::not_assessable) == static_cast<int>(SignReading::not_assessable));

Section section_of(const MeasuredSection& s) {
    return {ClockPosition(s.clock_hour), s.width, s.thickness, s.area, s.contrast_thickness};
}

/// What was read, by its key in the catalogue, and the unit.
struct ReadQuantity {
    std::string_view key, unit;
};

ReadQuantity quantity_of(EvidenceKind kind) {
    switch (kind) {
        case EvidenceKind::ct_number: return {"reading.ct_number", "HU"};
        case EvidenceKind::ct_peak: return {"reading.ct_peak", "HU"};
        case EvidenceKind::t1_ratio: return {"reading.t1_ratio", "ratio"};
        case EvidenceKind::t2_ratio: return {"reading.t2_ratio", "ratio"};
        case EvidenceKind::section_thickness: return {"reading.section_thickness", "mm"};
        case EvidenceKind::fits_wall: return {"reading.fits_wall", "hours"};
        case EvidenceKind::off_wall: return {"reading.off_wall", "mm"};
        case EvidenceKind::growth: return {"reading.growth", "ratio"};
        case EvidenceKind::gas_beside: return {"reading.gas_beside", "series"};
        case EvidenceKind::displaces_fat: break;
    }
    return {"reading.displaces_fat", "series"};
}

/// The series of a reading, as the visit's list has it.
const EyeView& view_of(std::size_t series, const std::vector<const EyeView*>& views) {
    return **std::find_if(views.begin(), views.end(), [&](const EyeView* v) { return v->series == series; });
}

PartOfJudgement part_of(const PartOpinion& opinion) {
    PartOfJudgement part;
    if (opinion.label) part.label = material_of(*opinion.label);
    for (const MaterialClass m : opinion.candidates) part.candidates.push_back(material_of(m));
    return part;
}

MaterialEntry material_entry(const MaterialOpinion& opinion, const std::vector<const EyeView*>& views, const Visit& visit) {
    MaterialEntry entry;
    if (opinion.label) entry.label = material_of(*opinion.label);
    entry.candidates.clear();
    for (const MaterialClass m : opinion.candidates) entry.candidates.push_back(material_of(m));
    for (const MaterialClass m : all_material_classes) entry.probabilities[material_of(m)] = opinion.probability[static_cast<std::size_t>(m)];
    constexpr double worth_naming = 0.2;   // of `other`
    for (const LookAlike l : all_look_alikes)
        if (l != LookAlike::unknown && opinion.look_alike_share[static_cast<std::size_t>(l)] >= worth_naming) entry.look_alikes.push_back(l);
    std::stable_sort(entry.look_alikes.begin(), entry.look_alikes.end(),
                     [&](LookAlike a, LookAlike b) { return opinion.look_alike_share[static_cast<std::size_t>(a)] > opinion.look_alike_share[static_cast<std::size_t>(b)]; });
    entry.water_fraction = opinion.water_fraction;
    entry.most_informative_next = next_of(opinion.next);
    entry.expected_information = opinion.information;
    if (opinion.by_ct) entry.by_ct = part_of(*opinion.by_ct);
    if (opinion.by_mr) entry.by_mr = part_of(*opinion.by_mr);
    entry.water_disagrees = opinion.water_disagrees;
    entry.outside_table = opinion.outside_table;
    for (const WaterByReading& w : opinion.water_by_reading)
        entry.water_by_reading.push_back({visit.series[view_of(w.series, views).series].description.series_uid, say(quantity_of(w.kind).key), w.water});
    for (const JudgedReading& judged : opinion.evidence) {
        const EyeView& view = view_of(judged.reading.series, views);
        const ReadQuantity read = quantity_of(judged.reading.kind);
        Evidence evidence;
        evidence.series_uid = visit.series[view.series].description.series_uid;
        evidence.role = view.role;
        evidence.quantity = say(read.key);
        evidence.unit = read.unit;
        evidence.measured = Measured<StatedQuantity>::from_standard_uncertainty(StatedQuantity(judged.reading.value), StatedQuantity(judged.reading.uncertainty));
        for (const MaterialClass m : all_material_classes) {
            const auto& range = judged.expected[static_cast<std::size_t>(m)];
            if (range) evidence.expected[material_of(m)] = std::pair{(*range)[0], (*range)[1]};
            evidence.log_likelihood[material_of(m)] = judged.log_likelihood[static_cast<std::size_t>(m)];
        }
        entry.evidence.push_back(std::move(evidence));
    }
    return entry;
}

/// From what surrounds the orbit's contents, on the series that the element was measured on.
ElementSurroundings surroundings(const AnalysedEye& eye, const AnalysedElement& e, const std::vector<const EyeView*>& views, const Visit& visit) {
    const EyeView& view = *views[e.element.view];
    std::vector<const FoundElement*> all;
    for (const AnalysedElement& other : eye.elements)
        if (other.element.view == e.element.view || (!view.kept_apart && !views[other.element.view]->kept_apart)) all.push_back(&other.element.found);
    return surroundings_of(visit.series[view.series].grid(), view.modality, view.block, e.element.found, e.measured, all);
}

ElementEntry element_entry(const AnalysedElement& e, const std::vector<const EyeView*>& views, const Visit& visit, const std::string& id) {
    const ElementMeasurements& m = e.measured;
    ElementEntry entry;
    entry.id = id;
    entry.form = form_of(m.form);
    entry.from = m.from;
    entry.to = m.to;
    entry.span = m.span;
    entry.limbus_anterior = m.limbus_anterior;
    entry.limbus_posterior = m.limbus_posterior;
    entry.caliper_anterior = m.caliper_anterior;
    entry.caliper_posterior = m.caliper_posterior;
    entry.volume = m.volume;
    entry.length = m.length;
    const Measured<Mm>* indentation = m.indentation.measured();
    entry.wall_relation = indentation && indentation->low().value() > 0.0 ? WallRelation::indenting : WallRelation::not_determinable;
    entry.junction = junction_of(e.junction);
    entry.largest_section = section_of(m.largest_section);
    for (const MeasuredSection& s : m.sections) entry.sections.push_back(section_of(s));
    entry.indentation = m.indentation;
    entry.optic_nerve_distance = m.optic_nerve_distance;
    entry.fragments = m.fragments;
    // Calcium lies in the capsule that grows round an old explant (common practice, no source). Whether there is one without it does not show.
    if (e.calcified_rim) entry.rim_calcification = entry.capsule = Feature::seen;
    entry.measured_on = {visit.series[views[e.element.view]->series].description.series_uid};
    entry.material = material_entry(e.opinion, views, visit);
    return entry;
}

/// The series whose coordinates place the globe: CT first, then T2 (vitreous stands out most), then the rest by fit.
const EyeView* placing_view(const std::vector<const EyeView*>& views) {
    const auto rank = [](const EyeView& v) {
        if (v.modality == Modality::ct) return 0;
        return v.role == SeriesRole::t2 || v.role == SeriesRole::t2_fatsat ? 1 : 2;
    };
    const auto best = std::min_element(views.begin(), views.end(), [&](const EyeView* a, const EyeView* b) {
        if (rank(*a) != rank(*b)) return rank(*a) < rank(*b);
        return a->block.globe().residual < b->block.globe().residual;
    });
    return best == views.end() ? nullptr : *best;
}

/// How sure one can be that a thing seen is an element at all, before its material: strength is the departure over the
/// threshold of detection. Assumed figures, checked on the sweep.
double seen_for_real(const AnalysedElement& e) {
    const double strength = e.element.found.strength;
    if (e.expected_from) return 0.9;
    if (is_mass(e.element.found.appearance)) return e.element.also_seen_in.empty() ? 0.7 : 0.95;
    if (e.element.found.appearance == Appearance::mr_void) return e.element.also_seen_in.empty() ? (strength > 1.6 ? 0.8 : 0.6) : 0.93;
    if (strength > 1.25 || !e.element.also_seen_in.empty()) return 0.98;
    const Measured<Mm3>* volume = e.measured.volume.measured();
    constexpr double not_a_speck_mm3 = 150.0;
    return volume && volume->value().value() > not_a_speck_mm3 ? 0.93 : 0.85;
}

/// In orbits synthesised with fat near the wall nearly all round, of hydrogels on CT with MR all 18 from 5 mm left a sign, of the thinner 4 of 6.
constexpr Mm thinnest_hydrogel(5.0);

/// In drawn anatomies all 6 hydrogels of 82 % water and more on MR were found, at 81 % neither of 2 (seeds 1 and 4 of tests/accuracy.sh); in a real
/// head with CT, T1 and T2 all 3 of 78 % and more, of the 11 with less only 4 at their place (docs/known_limits.md).
constexpr Fraction least_water_on_t2(0.85);

enum class HydrogelShows { not_told, as_water_only, whatever_its_water };  // how, if at all

/// Two series that would show a mass by the fat it holds off, one of them CT; or T2 on which it would stand out, if it is mostly water.
HydrogelShows how_hydrogel_shows(const std::vector<const EyeView*>& views) {
    const auto shows = [](const EyeView* v) { return shows_displaced_fat_all_round(*v); };
    const bool on_ct = std::any_of(views.begin(), views.end(), [&](const EyeView* v) { return v->modality == Modality::ct && shows(v); });
    if (on_ct && std::count_if(views.begin(), views.end(), shows) >= 2) return HydrogelShows::whatever_its_water;
    const bool as_water = std::any_of(views.begin(), views.end(), [](const EyeView* v) {
        const auto settings = finder_settings(v->modality, v->role, v->kvp);
        // Where fat is nearly as bright as vitreous, only an almost fluid hydrogel would stand out.
        constexpr double fat_well_below_vitreous = 0.6;
        return settings && settings->t2_weighted && v->block.coverage(-2.0, 5.0) >= 0.9 &&
               v->block.orbit_signal(0.9) < fat_well_below_vitreous * v->block.globe().interior_mean;
    });
    return as_water ? HydrogelShows::as_water_only : HydrogelShows::not_told;
}

}  // namespace

report::SeriesEntry series_entry(const SeriesDescription& d, const VoxelGrid* grid, bool used) {
    SeriesEntry entry;
    entry.series_uid = d.series_uid;
    entry.study_uid = d.study_uid;
    entry.modality = d.modality;
    entry.role = d.role;
    entry.confidence = d.confidence;
    entry.why = d.why;
    entry.used = used;
    if (grid != nullptr) {
        const auto s = grid->geometry().spacing_mm();
        entry.spacing = std::array<Mm, 3>{Mm(s[0]), Mm(s[1]), Mm(s[2])};
        entry.digest = content_digest(*grid);
    }
    entry.kvp = d.kvp;
    entry.problems = d.problems;
    return entry;
}

void take_role_by_image(SeriesEntry& entry, SeriesRole role) {
    entry.role = role;
    entry.confidence = Confidence::low;
    entry.why = say(role == SeriesRole::t1 ? "series.as_on_t1" : "series.as_on_t2", {{"why", entry.why}});
}

report::EyeEntry eye_entry(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::vector<std::string>& ids) {
    const std::size_t which = eye == Eye::right ? 0 : 1;
    const AnalysedEye& found = analysed.eye[which];
    const std::vector<const EyeView*> views = analysed.views(which);
    EyeEntry entry;
    const EyeView* place = placing_view(views);
    if (place == nullptr) {
        const bool outside = found.missing == GlobeMissing::outside_images, fellow_found = !analysed.eye[1 - which].views.empty();
        entry.globe.status = outside ? GlobeStatus::not_imaged : GlobeStatus::not_found;
        entry.globe.axial_length = entry.globe.equatorial_diameter =
            Unmeasured{say(outside ? "reason.outside_images" : fellow_found ? "reason.no_globe_here" : "reason.no_globe")};
        entry.mass_effect = globe_place(analysed, visit, which);
        return entry;
    }
    const Globe& globe = place->block.globe();
    entry.globe.status = GlobeStatus::found;
    entry.globe.place = GlobePlace{visit.series[place->series].description.series_uid, globe.frame.origin(), globe.frame.anterior(), globe.axis_uncertainty};
    entry.globe.axial_length = globe.axial_length;
    entry.globe.equatorial_diameter = globe.equatorial_diameter;
    entry.globe.contents = contents_of(found.contents.label);
    entry.globe.contents_why = found.contents.why;
    if (const auto& level = found.contents.level) entry.globe.level = FluidLevel{level->above, level->below, level->share_above, level->height};
    entry.globe.lens = lens_of(found.lens.kind);
    entry.globe.lens_why = found.lens.why;

    entry.mass_effect = globe_place(analysed, visit, which);
    if (found.dark_beside_metal)
        entry.mass_effect.note = say("note.dark_beside_metal");
    else if (found.unexplained_soft_mass)
        entry.mass_effect.note = say(std::any_of(found.elements.begin(), found.elements.end(), [](const AnalysedElement& e) { return e.expected_from.has_value(); }) ? "note.unexplained_or_expected" : "note.unexplained_mass");
    else if (found.unlike_fellow)
        entry.mass_effect.note = say("note.unlike_fellow");
    const bool unexplained = found.dark_beside_metal || found.unexplained_soft_mass || found.unlike_fellow;

    // Without the fellow eye nothing tells bone or muscle of this patient from an element that one series alone shows, unless it goes all round.
    constexpr double seen_once_without_fellow = 0.75;
    double none = 1.0;
    for (std::size_t k = 0; k < found.elements.size(); ++k) {
        const AnalysedElement& e = found.elements[k];
        entry.elements.push_back(element_entry(e, views, visit, ids[k]));
        const ElementSurroundings around = surroundings(found, e, views, visit);
        entry.elements.back().surface_distance = around.surface;
        entry.elements.back().orbital_wall_distance = around.orbital_wall;
        const bool unlike_anatomy = e.measured.form == ElementForm::encircling || !e.element.also_seen_in.empty();
        const double alone = found.fellow_seen || unlike_anatomy ? 1.0 : seen_once_without_fellow;
        none *= 1.0 - (1.0 - e.opinion.probability[static_cast<std::size_t>(MaterialClass::other)]) * seen_for_real(e) * alone;
    }
    entry.muscles = muscle_entries(views, entry.elements, eye);
    entry.inflammation_signs.fat_stranding = sign_of(found.inflammation.fat_stranding);
    entry.inflammation_signs.gas_outside_element = sign_of(found.inflammation.gas_outside_element);
    entry.inflammation_signs.collection = sign_of(found.inflammation.collection);
    if (found.metal) entry.metal = {found.metal->empty() ? MetalStatus::not_seen_on_ct : MetalStatus::seen, *found.metal};
    if (found.smallest.band_thickness_mm) entry.explant.smallest_band_thickness = Mm(*found.smallest.band_thickness_mm);
    if (found.smallest.sponge_diameter_mm) entry.explant.smallest_sponge_diameter = Mm(*found.smallest.sponge_diameter_mm);
    const HydrogelShows hydrogel = how_hydrogel_shows(views);
    if (hydrogel != HydrogelShows::not_told) entry.explant.smallest_hydrogel_thickness = thinnest_hydrogel;
    if (hydrogel == HydrogelShows::as_water_only) entry.explant.least_hydrogel_water = least_water_on_t2;
    constexpr double thinnest_band_mm = 0.6;
    if (found.elements.empty()) {
        // Absent is said only where each of the three materials would have shown, and the fellow eye told what is usual in this patient.
        const bool would_show = !unexplained && found.fellow_seen && entry.explant.smallest_hydrogel_thickness && found.smallest.band_thickness_mm && *found.smallest.band_thickness_mm <= thinnest_band_mm;
        // Both shares are assumed; the greater allows for what has too little water to show.
        entry.explant.presence = would_show ? Presence::absent : Presence::uncertain;
        entry.explant.probability = would_show ? (hydrogel == HydrogelShows::as_water_only ? 0.06 : 0.03) : unexplained ? 0.4 : 0.2;
    } else {
        entry.explant.probability = 1.0 - none;
        entry.explant.presence = entry.explant.probability >= 0.8 ? Presence::present : Presence::uncertain;
    }
    return entry;
}

}  // namespace perisclera
