// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "perisclera/report/mechanisms.h"
#include "src/report/explanation.h"
#include "src/report/material_cautions.h"
#include "src/report/rounding.h"
#include "src/report/warning_words.h"

namespace perisclera::report {

namespace {

using Json = nlohmann::ordered_json;

Json number(double value, int decimals) { return std::isfinite(value) ? Json(rounded(value, decimals)) : Json(nullptr); }

/// `m` and the value and interval to be stated of it.
template <class Q>
Json quantity(const Measurement<Q>& m, const std::optional<Stated>& s) {
    if (!s) return {{"value", nullptr}, {"why", why_not_stated(m)}};
    return {{"value", s->value}, {"ci95", {s->low, s->high}}};
}

template <class Q>
Json quantity(const Measurement<Q>& m) {
    return quantity(m, stated(m));
}

Json position(const Measurement<ClockHours>& m) { return quantity(m, stated_position(m)); }

Json hour(ClockPosition p) { return number(p.hours() + wrap_shift(p.hours()), hour_decimals); }
Json hour(const std::optional<ClockPosition>& p) { return p ? hour(*p) : Json(nullptr); }

template <class Unit>
Json plain(const std::optional<Quantity<Unit>>& q) {
    return q ? number(q->value(), decimals_of<Unit>) : Json(nullptr);
}

template <class T>
Json optional_number(const std::optional<T>& n) {
    return n ? Json(*n) : Json(nullptr);
}

template <class List, class Write>
Json list(const List& items, Write write) {
    Json out = Json::array();
    for (const auto& item : items) out.push_back(write(item));
    return out;
}

Json series(const SeriesEntry& s) {
    Json spacing = nullptr;
    if (s.spacing) spacing = list(*s.spacing, [](Mm v) { return number(v.value(), 4); });
    return {{"series_uid", s.series_uid},
            {"study_uid", s.study_uid},
            {"modality", s.modality == Modality::ct ? "CT" : "MR"},
            {"role", name(s.role)},
            {"confidence", name(s.confidence)},
            {"why", s.why},
            {"used", s.used},
            {"spacing_mm", spacing},
            {"kvp", s.kvp ? number(*s.kvp, 1) : Json(nullptr)},
            {"problems", Json(s.problems)},
            {"digest", s.digest.empty() ? Json(nullptr) : Json(s.digest)}};
}

template <class Triple>
Json triple(const Triple& t, int decimals) {
    return {number(t.x, decimals), number(t.y, decimals), number(t.z, decimals)};
}

Json fluid_level(const FluidLevel& level) {
    const auto names = [](FluidSet fluids) {
        Json out = Json::array();
        for (const Fluid f : all_fluids)
            if (fluids.holds(f)) out.push_back(name(f));
        return out;
    };
    return {{"above", names(level.above)}, {"below", names(level.below)}, {"share_above", quantity(level.share_above)}, {"height_mm", quantity(level.height)}};
}

Json globe(const GlobeEntry& g) {
    Json out{{"status", name(g.status)}, {"frame_of_series", nullptr}, {"centre_lps_mm", nullptr}, {"axis_lps", nullptr}, {"axis_uncertainty_deg", nullptr}};
    if (g.place) {
        out["frame_of_series"] = g.place->frame_of_series;
        out["centre_lps_mm"] = triple(g.place->centre, 2);
        out["axis_lps"] = triple(g.place->axis, direction_decimals);
        out["axis_uncertainty_deg"] = number(g.place->axis_uncertainty.value(), decimals_of<DegreeUnit>);
    }
    out["axial_length_mm"] = quantity(g.axial_length);
    out["equatorial_diameter_mm"] = quantity(g.equatorial_diameter);
    out["contents"] = name(g.contents);
    out["contents_why"] = g.contents_why;
    out["level"] = g.level ? fluid_level(*g.level) : Json(nullptr);
    out["lens"] = name(g.lens);
    out["lens_why"] = g.lens_why;
    return out;
}

Json muscle(const MuscleEntry& m) {
    const auto relation = [](const MuscleElement& e) {
        return Json{{"id", e.id}, {"relation", name(e.relation)}, {"front_edge_to_insertion_mm", quantity(e.front_edge_to_insertion)}};
    };
    return {{"name", name(m.muscle)},
            {"thickness_mm", quantity(m.thickness)},
            {"insertion_limbus_mm", quantity(m.insertion)},
            {"continuity", name(m.continuity)},
            {"elements", list(m.elements, relation)}};
}

Json section(const Section& s) {
    return {{"clock_hour", hour(s.clock_hour)},
            {"width_mm", quantity(s.width)},
            {"thickness_mm", quantity(s.thickness)},
            {"area_mm2", quantity(s.area)},
            {"contrast_thickness_hu_mm", quantity(s.contrast_thickness)}};
}

/// An object with one member for each material that has a value.
template <class T, class Write>
Json per_material(const PerMaterial<T>& values, Write write) {
    Json out = Json::object();
    for (const Material m : all_materials) {
        const Json value = write(values[m]);
        if (!value.is_null()) out[std::string(name(m))] = value;
    }
    return out;
}

Json evidence(const Evidence& e) {
    const int d = decimals_of<StatedUnit>;
    const auto range = [d](const std::optional<std::pair<double, double>>& r) {
        return r ? Json{number(r->first, d), number(r->second, d)} : Json(nullptr);
    };
    const auto likelihood = [d](const std::optional<double>& l) { return l ? number(*l, d) : Json(nullptr); };
    return {{"series_uid", e.series_uid},
            {"role", name(e.role)},
            {"quantity", e.quantity},
            {"measured", quantity(e.measured)},
            {"unit", e.unit},
            {"expected", per_material(e.expected, range)},
            {"log_likelihood", per_material(e.log_likelihood, likelihood)}};
}

Json record(const RecordedOperation& r) {
    const auto probability = [](double p) { return number(p, probability_decimals); };
    return {{"surgery_year", optional_number(r.year)},
            {"recorded_material", r.material ? Json(name(*r.material)) : Json(nullptr)},
            {"prior", per_material(r.prior, probability)},
            {"probabilities", per_material(r.probabilities, probability)},
            {"year_contradicts", r.year_contradicts},
            {"material_contradicts", r.material_contradicts},
            {"recorded_section_mm", r.section ? Json{{"width", plain(std::optional(r.section->width))}, {"thickness", plain(std::optional(r.section->thickness))}} : Json(nullptr)}};
}

std::string_view label(const std::optional<Material>& m) { return m ? name(*m) : "undetermined"; }
Json materials(const std::vector<Material>& all) {
    return list(all, [](Material m) { return Json(name(m)); });
}

Json part(const std::optional<PartOfJudgement>& p) { return p ? Json{{"label", label(p->label)}, {"candidates", materials(p->candidates)}} : Json(nullptr); }

/// Where an element is told of: whose eye, at which visit.
struct Where {
    const ReportModel& model;
    const Timepoint& visit;
    Eye eye;
};

Json material(const ElementEntry& e, const Where& where) {
    const MaterialEntry& m = e.material;
    const auto caution = [&](MaterialCaution c) { return Json{{"code", name(c)}, {"text", in_words(c, m)}}; };
    const auto of_reading = [](const WaterOfReading& w) { return Json{{"series_uid", w.series_uid}, {"quantity", w.quantity}, {"water_fraction", quantity(w.water_fraction)}}; };
    Json information = Json::object();
    for (const NextStudy study : all_next_studies) information[std::string(name(study))] = number(m.expected_information[static_cast<std::size_t>(study)], 3);
    Json out{{"label", label(m.label)},
            {"candidates", materials(m.candidates)},
            {"probabilities", per_material(m.probabilities, [](double p) { return number(p, probability_decimals); })},
            {"by_ct", part(m.by_ct)},
            {"by_mr", part(m.by_mr)},
            {"look_alikes", list(m.look_alikes, [](LookAlike l) { return Json(name(l)); })},
            {"water_fraction", quantity(m.water_fraction)},
            {"water_by_reading", list(m.water_by_reading, of_reading)},
            {"water_by_swelling", quantity(m.water_by_swelling)},
            {"evidence", list(m.evidence, evidence)},
            {"explanation", explanation(where.model, where.visit, where.eye, e)},
            {"cautions", list(material_cautions(where.visit.eye(where.eye), e), caution)},
            {"most_informative_next", name(m.most_informative_next)},
            {"expected_information_bits", information}};
    if (m.record) out["record"] = record(*m.record);
    return out;
}

Json element(const ElementEntry& e, const Where& where) {
    return {{"id", e.id},
            {"form", name(e.form)},
            {"clock_hours", {{"from", position(e.from)}, {"to", position(e.to)}, {"span_hours", quantity(e.span)}}},
            {"limbus_mm", {{"anterior", quantity(e.limbus_anterior)}, {"posterior", quantity(e.limbus_posterior)}}},
            {"caliper_mm", {{"anterior", quantity(e.caliper_anterior)}, {"posterior", quantity(e.caliper_posterior)}}},
            {"volume_mm3", quantity(e.volume)},
            {"length_mm", quantity(e.length)},
            {"wall_relation", name(e.wall_relation)},
            {"junction", {{"kind", name(e.junction.kind)}, {"clock_hour", hour(e.junction.clock_hour)}}},
            {"largest_section", section(e.largest_section)},
            {"sections", list(e.sections, section)},
            {"indentation_mm", quantity(e.indentation)},
            {"surface_distance_mm", quantity(e.surface_distance)},
            {"orbital_wall_distance_mm", quantity(e.orbital_wall_distance)},
            {"optic_nerve_distance_mm", quantity(e.optic_nerve_distance)},
            {"fragments", optional_number(e.fragments)},
            {"capsule", name(e.capsule)},
            {"rim_calcification", name(e.rim_calcification)},
            {"measured_on", Json(e.measured_on)},
            {"expected_from", e.expected_from.empty() ? Json(nullptr) : Json(e.expected_from)},
            {"material", material(e, where)}};
}

Json mass_effect(const MassEffect& m) {
    const auto series_or_null = [](const std::string& uid) { return uid.empty() ? Json(nullptr) : Json(uid); };
    return {{"globe_offset_mm", {{"superior", quantity(m.superior)}, {"anterior", quantity(m.anterior)}, {"left", quantity(m.left)}}},
            {"rear_margin_offset_mm", {{"anterior", quantity(m.rear_margin)}}},
            {"forward_place", name(m.forward_place)},
            {"interzygomatic_line_mm",
             {{"length", quantity(m.line_length)},
              {"cornea_in_front", quantity(m.cornea_in_front)},
              {"centre_in_front", quantity(m.centre_in_front)},
              {"rear_margin_behind", quantity(m.rear_margin_behind)}}},
            {"turn_deg",
             {{"left", quantity(m.turned_left)}, {"up", quantity(m.turned_up)}, {"converging", quantity(m.converging)}, {"higher_than_fellow", quantity(m.higher_than_fellow)}}},
            {"measured_on", {{"offset", series_or_null(m.offset_series)}, {"interzygomatic_line", series_or_null(m.line_series)}, {"turn", series_or_null(m.turn_series)}}},
            {"note", m.reference + (m.reference.empty() || m.note.empty() ? "" : " ") + m.note}};
}

Json eye(const Where& where) {
    const EyeEntry& e = where.visit.eye(where.eye);
    const auto& signs = e.inflammation_signs;
    return {{"globe", globe(e.globe)},
            {"muscles", list(e.muscles, muscle)},
            {"inflammation_signs",
             {{"fat_stranding", name(signs.fat_stranding)},
              {"gas_outside_element", name(signs.gas_outside_element)},
              {"collection", name(signs.collection)},
              {"rim_enhancement", name(signs.rim_enhancement)}}},
            {"metal",
             {{"status", name(e.metal.status)}, {"clock_hours", list(e.metal.clock_hours, [](ClockPosition p) { return hour(p); })}}},
            {"explant",
             {{"presence", name(e.explant.presence)},
              {"probability", number(e.explant.probability, probability_decimals)},
              {"smallest_shown",
               {{"band_thickness_mm", plain(e.explant.smallest_band_thickness)},
                {"sponge_diameter_mm", plain(e.explant.smallest_sponge_diameter)},
                {"hydrogel_thickness_mm", plain(e.explant.smallest_hydrogel_thickness)},
                {"hydrogel_water_fraction", plain(e.explant.least_hydrogel_water)}}}}},
            {"elements", list(e.elements, [&](const ElementEntry& one) { return element(one, where); })},
            {"mass_effect", mass_effect(e.mass_effect)}};
}

Json timepoint(const ReportModel& model, const Timepoint& t) {
    return {{"id", t.id},
            {"study_date", t.study_date.iso()},
            {"series", list(t.series, series)},
            {"eyes", {{"right", eye({model, t, Eye::right})}, {"left", eye({model, t, Eye::left})}}}};
}

Json change(const Change& c) {
    return {{"eye", name(c.eye)},
            {"element", c.element},
            {"from", c.from},
            {"to", c.to},
            {"days", c.days},
            {"same_method", c.same_method},
            {"under_one_number", c.under_one_number},
            {"volume_percent", quantity(c.volume)},
            {"smallest_detectable_percent", plain(c.smallest_detectable)},
            {"largest_area_percent", quantity(c.largest_area)},
            {"largest_thickness_mm", quantity(c.largest_thickness)},
            {"anterior_margin_shift_mm", quantity(c.anterior_margin_shift)},
            {"water_fraction_change", quantity(c.water_fraction)},
            {"globe_offset_change_mm", quantity(c.globe_offset)},
            {"verdict", name(c.verdict)}};
}

Json trend(const Trend& t) {
    return {{"eye", name(t.eye)},
            {"element", t.element},
            {"volume_mm3_per_year", quantity(t.volume)},
            {"next_informative_days", optional_number(t.next_informative_days)}};
}

Json options(const std::vector<Option>& chosen) {
    Json out = Json::object();
    for (const Option& o : chosen) std::visit([&](const auto& value) { out[o.name] = value; }, o.value);
    return out;
}

Json warning(const Error& w) { return {{"code", name(w.code)}, {"text", warning_in_words(w)}}; }

template <class Term>
Json word(const std::optional<Term>& term) {
    return term ? Json(name(*term)) : Json(nullptr);
}

Json examined_eye(const EyeExamination& e) {
    Json ductions = Json::object();
    for (const Movement m : all_movements) {
        const MovementFinding& f = e.of(m);
        ductions[std::string(name(m))] = {{"range", word(f.range)}, {"forced_duction", word(f.forced)}, {"force_generation", word(f.force)}};
    }
    return {{"ductions", ductions}, {"slit_lamp", list(e.slit_lamp, [](SlitLampSign s) { return Json(name(s)); })}};
}

/// Words of closed sets only: the file's note is not in the model.
Json examination(const std::optional<Examination>& told) {
    if (!told) return nullptr;
    const Deviation& d = told->deviation;
    const auto prisms = [](const std::optional<double>& n) { return n ? number(*n, 1) : Json(nullptr); };
    return {{"examined_on", told->examined_on ? Json(told->examined_on->iso()) : Json(nullptr)},
            {"deviation",
             {{"horizontal", word(d.horizontal)},
              {"horizontal_prism_dioptres", prisms(d.horizontal_prism_dioptres)},
              {"vertical", word(d.vertical)},
              {"vertical_prism_dioptres", prisms(d.vertical_prism_dioptres)},
              {"torsion", word(d.torsion)}}},
            {"symptoms", list(told->symptoms, [](Symptom s) { return Json(name(s)); })},
            {"right", examined_eye(told->right)},
            {"left", examined_eye(told->left)}};
}

Json mechanisms_to_separate(const ReportModel& model) {
    const auto entry = [](const MechanismEntry& e) {
        const MechanismWords words = words_of(e.mechanism);
        return Json{{"mechanism", name(e.mechanism)}, {"text", words.what}, {"test", words.test}, {"on_this_scan", e.on_this_scan}, {"fit", word(e.fit)},
                    {"why", e.why}, {"basis", name(words.basis)}, {"source", words.source}};
    };
    const auto element = [&](const ElementMechanisms& e) { return Json{{"eye", name(e.eye)}, {"element", e.element}, {"entries", list(e.entries, entry)}}; };
    const MechanismsToSeparate all = mechanisms(model);
    return {{"statement", position_foretells_nothing()}, {"elements", list(all.elements, element)}, {"unexplained", Json(all.unexplained)}};
}

}  // namespace

std::string to_json(const ReportModel& model) {
    const auto consideration = [](const Consideration& c) { return Json{{"text", c.text}, {"basis", name(c.basis)}, {"source", c.source}}; };
    const Json report{{"format", "perisclera-report"},
                      {"format_version", 1},
                      {"program", {{"version", model.version}, {"reference_table", model.reference_table}, {"options", options(model.options)}}},
                      {"statement", statement()},
                      {"simulated", model.simulated},
                      {"timepoints", list(model.timepoints, [&](const Timepoint& t) { return timepoint(model, t); })},
                      {"changes", list(model.changes, change)},
                      {"trends", list(model.trends, trend)},
                      {"examination", examination(model.examination)},
                      {"mechanisms", mechanisms_to_separate(model)},
                      {"considerations", list(model.considerations, consideration)},
                      {"warnings", list(model.warnings, warning)}};
    return report.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace perisclera::report
