// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/fhir.h"

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "perisclera/dicom/uid.h"
#include "perisclera/report/json.h"
#include "perisclera/report/wording.h"
#include "src/report/report_sentences.h"
#include "src/report/term_words.h"

namespace perisclera::report {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view snomed = "http://snomed.info/sct", loinc = "http://loinc.org", ucum = "http://unitsofmeasure.org", own = "urn:perisclera:code",
                           dicom_terms = "http://dicom.nema.org/resources/ontology/DCM", dicom_uid = "urn:dicom:uid";

/// A UUID of version 8, "custom" (RFC 9562 5.8), filled from the text's hash.
std::string uuid_from(const std::string& text) {
    // Hashed twice, as uid_from() does: a difference in the last character alone would otherwise hardly change the leading digits.
    const auto first = fnv1a_128(text);
    auto [high, low] = fnv1a_128(std::to_string(first[0]) + " " + std::to_string(first[1]));
    high = (high & ~(std::uint64_t{0xf} << 12)) | (std::uint64_t{8} << 12);
    low = (low & ~(std::uint64_t{3} << 62)) | (std::uint64_t{2} << 62);
    std::string out;
    constexpr std::string_view digits = "0123456789abcdef";
    for (const std::uint64_t half : {high, low})
        for (int shift = 60; shift >= 0; shift -= 4) {
            if (out.size() == 8 || out.size() == 13 || out.size() == 18 || out.size() == 23) out += '-';
            out += digits[(half >> shift) & 15u];
        }
    return out;
}

Json coding(std::string_view system, std::string_view code, std::string_view display) { return {{"system", system}, {"code", code}, {"display", display}}; }
Json concept_of(std::string_view system, std::string_view code, std::string_view display) { return {{"coding", Json::array({coding(system, code, display)})}, {"text", display}}; }
Json own_concept(std::string_view code, std::string_view text) { return concept_of(own, code, text); }
Json text_only(std::string_view text) { return {{"text", text}}; }
Json list_of(Json one) { return Json::array({std::move(one)}); }

/// "12.5 mm": the unit for people and its UCUM code.
struct Unit {
    std::string_view shown, code;
    double factor = 1.0;                                ///< from report.json
};
constexpr Unit millimetres{"mm", "mm"}, square{"mm2", "mm2"}, cubic{"mm3", "mm3"}, hours{"clock hours", "{clock_hour}"}, percent{"%", "%"}, share{"%", "%", 100.0};

Json amount(double value, Unit unit) {
    // A share has four decimals in report.json; times 100 it must not grow digits.
    const Json shown = unit.factor == 1.0 ? Json(value) : Json(std::round(value * unit.factor * 100.0) / 100.0);
    return {{"value", shown}, {"unit", unit.shown}, {"system", ucum}, {"code", unit.code}};
}

class Bundle {
public:
    explicit Bundle(const Json& report) {
        for (const Json& visit : report["timepoints"]) {
            key_ += "|" + visit["study_date"].get<std::string>();
            for (const Json& s : visit["series"]) key_ += "|" + s["study_uid"].get<std::string>() + "|" + s["series_uid"].get<std::string>();
        }
    }
    /// `name` is this resource's own within the bundle. Returns the reference to it.
    Json add(const std::string& name, Json resource) {
        const Json reference = reference_to(name);
        entries_.push_back({{"fullUrl", reference["reference"]}, {"resource", std::move(resource)}});
        return reference;
    }
    [[nodiscard]] Json reference_to(const std::string& name) const { return {{"reference", "urn:uuid:" + uuid(name)}}; }
    [[nodiscard]] std::string uuid(const std::string& name) const { return uuid_from("perisclera fhir" + key_ + "|" + name); }
    [[nodiscard]] Json finish(bool simulated) const {
        Json out{{"resourceType", "Bundle"}};
        if (simulated) out["meta"] = {{"tag", list_of(coding("urn:perisclera:tag", "simulated", say("resource.simulated")))}};
        out["identifier"] = {{"system", "urn:ietf:rfc:3986"}, {"value", "urn:uuid:" + uuid("bundle")}};
        out["type"] = "collection";
        out["entry"] = entries_;
        return out;
    }

private:
    std::string key_;
    Json entries_ = Json::array();
};

/// What every observation of one visit and eye has in common.
struct Place {
    Bundle& bundle;
    std::string name;                                   ///< of the visit and eye, as "t1 right"
    Eye eye;
    Json date, studies;
};

Json observation(const Place& place, Json code) {
    return {{"resourceType", "Observation"},
            {"status", "preliminary"},
            {"category", list_of(concept_of("http://terminology.hl7.org/CodeSystem/observation-category", "imaging", "Imaging"))},
            {"code", std::move(code)},
            {"subject", place.bundle.reference_to("patient")},
            {"effectiveDateTime", place.date}};
}

void finish(const Place& place, Json& o) {
    Json site = concept_of(snomed, "79652003", "Eyeball");
    site["text"] = in_words(place.eye);
    o["bodySite"] = site;
    o["device"] = place.bundle.reference_to("software");
    if (!place.studies.empty()) o["derivedFrom"] = place.studies;
}

void put_quantity(Json& o, const Json& quantity, Unit unit) {
    if (quantity["value"].is_null()) {
        o["dataAbsentReason"] = {{"coding", list_of(coding("http://terminology.hl7.org/CodeSystem/data-absent-reason", "unknown", "Unknown"))}, {"text", quantity["why"]}};
        return;
    }
    o["valueQuantity"] = amount(quantity["value"].get<double>(), unit);
}

/// The interval's ends as components.
void put_interval(Json& o, const Json& quantity, Unit unit) {
    if (quantity["value"].is_null()) return;
    const auto end = [&](std::size_t k, std::string_view code, std::string_view text) { return Json{{"code", own_concept(code, text)}, {"valueQuantity", amount(quantity["ci95"][k].get<double>(), unit)}}; };
    o["component"] = Json::array({end(0, "ci95_low", say("resource.interval_low")), end(1, "ci95_high", say("resource.interval_high"))});
}

/// One measured quantity as an observation of its own.
Json measurement(const Place& place, const std::string& name, Json code, const Json& quantity, Unit unit, const Json& focus) {
    Json o = observation(place, std::move(code));
    if (!focus.is_null()) o["focus"] = list_of(focus);
    put_quantity(o, quantity, unit);
    finish(place, o);
    put_interval(o, quantity, unit);
    return place.bundle.add(place.name + " " + name, std::move(o));
}

Json worded(const Place& place, const std::string& name, Json code, const std::string& value, const std::map<std::string, double>& probabilities, const Json& focus) {
    Json o = observation(place, std::move(code));
    if (!focus.is_null()) o["focus"] = list_of(focus);
    o["valueCodeableConcept"] = own_concept(value, spaced(value));
    finish(place, o);
    for (const auto& [what, p] : probabilities) o["component"].push_back({{"code", own_concept("probability_" + what, say("resource.probability_of", {{"what", spaced(what)}}))}, {"valueQuantity", amount(p, share)}});
    return place.bundle.add(place.name + " " + name, std::move(o));
}

std::string form_in_words(std::string_view word) {
    for (const Form form : {Form::encircling, Form::segmental, Form::radial})
        if (word == name(form)) return in_words(form);
    return in_words(Form::irregular);
}

/// An element at one date: its measurements, and the group that holds them.
Json element_group(const Place& place, const Json& e) {
    const std::string id = e["id"];
    const Json focus = place.bundle.reference_to("body structure " + id);
    Json members = Json::array();
    const auto measure = [&](const char* name, Json code, const Json& quantity, Unit unit) { members.push_back(measurement(place, id + " " + name, std::move(code), quantity, unit, focus)); };
    const Json &section = e["largest_section"], &clock = e["clock_hours"], &limbus = e["limbus_mm"];
    measure("volume", concept_of(snomed, "118565006", "Volume"), e["volume_mm3"], cubic);
    measure("width", own_concept("largest_section_width", say("resource.width")), section["width_mm"], millimetres);
    measure("thickness", own_concept("largest_section_thickness", say("resource.thickness")), section["thickness_mm"], millimetres);
    measure("area", own_concept("largest_section_area", say("resource.area")), section["area_mm2"], square);
    measure("from", own_concept("clock_hour_from", say("resource.clock_hour_from")), clock["from"], hours);
    measure("to", own_concept("clock_hour_to", say("resource.clock_hour_to")), clock["to"], hours);
    measure("span", own_concept("clock_hours_span", say("resource.clock_hours")), clock["span_hours"], hours);
    measure("front", own_concept("limbus_to_front_edge", say("resource.front_edge")), limbus["anterior"], millimetres);
    measure("rear", own_concept("limbus_to_rear_edge", say("resource.rear_edge")), limbus["posterior"], millimetres);
    measure("indentation", own_concept("indentation", say("resource.indentation")), e["indentation_mm"], millimetres);
    const Json& material = e["material"];
    members.push_back(worded(place, id + " material", own_concept("material", say("resource.material")), material["label"], material["probabilities"].get<std::map<std::string, double>>(), focus));
    measure("water", own_concept("water_fraction", say("resource.water")), material["water_fraction"], share);
    Json group = observation(place, own_concept("element", say("resource.element", {{"element", id}})));
    group["focus"] = list_of(focus);
    group["valueCodeableConcept"] = own_concept(e["form"].get<std::string>(), say("resource.element_form", {{"form", form_in_words(e["form"].get<std::string>())}}));
    finish(place, group);
    group["hasMember"] = members;
    return place.bundle.add(place.name + " " + id, std::move(group));
}

/// Body structure and device of every element, once.
void add_elements(Bundle& bundle, const ReportModel& model) {
    std::map<std::string, std::pair<Eye, const ElementEntry*>> last;
    for (const Timepoint& t : model.timepoints)
        for (const Eye eye : both_eyes)
            for (const ElementEntry& e : t.eye(eye).elements) last[e.id] = {eye, &e};
    for (const auto& [id, seen] : last) {
        const auto& [eye, e] = seen;
        const Json identifier = list_of({{"system", "urn:perisclera:tracking-id"}, {"value", id}});
        Json location = concept_of(snomed, "79652003", "Eyeball");
        location["text"] = say("resource.place", {{"eye", in_words(eye)}, {"place", place_in_words(*e, eye)}});
        bundle.add("body structure " + id, {{"resourceType", "BodyStructure"},
                                            {"identifier", identifier},
                                            {"morphology", text_only(say("resource.explant_of_form", {{"form", in_words(e->form)}}))},
                                            {"location", location},
                                            {"locationQualifier", list_of(eye == Eye::right ? concept_of(snomed, "24028007", "Right") : concept_of(snomed, "7771000", "Left"))},
                                            {"description", say("resource.as_seen")},
                                            {"patient", bundle.reference_to("patient")}});
        Json type = concept_of(snomed, "40388003", "Implant");
        type["text"] = say("resource.explant_of_material", {{"material", label_with_probability(e->material)}});
        bundle.add("explant " + id, {{"resourceType", "Device"},
                                     {"identifier", identifier},
                                     {"status", "unknown"},
                                     {"type", type},
                                     {"patient", bundle.reference_to("patient")},
                                     {"note", list_of({{"text", say("resource.images_alone")}})}});
    }
}

/// The studies of one visit; references to them.
Json add_studies(Bundle& bundle, const Json& visit) {
    std::map<std::string, std::vector<const Json*>> by_study;
    for (const Json& s : visit["series"]) by_study[s["study_uid"]].push_back(&s);
    Json references = Json::array();
    for (const auto& [uid, series] : by_study) {
        Json study{{"resourceType", "ImagingStudy"}};
        if (!uid.empty()) study["identifier"] = list_of({{"system", dicom_uid}, {"value", "urn:oid:" + uid}});
        study["status"] = "available";
        study["subject"] = bundle.reference_to("patient");
        study["started"] = visit["study_date"];
        for (const Json* s : series)
            study["series"].push_back({{"uid", (*s)["series_uid"]}, {"modality", {{"system", dicom_terms}, {"code", (*s)["modality"]}}}, {"description", spaced((*s)["role"].get<std::string>())}});
        references.push_back(bundle.add("study " + visit["id"].get<std::string>() + " " + uid, std::move(study)));
    }
    return references;
}

Json change_observation(const Place& place, const Json& change) {
    Json o = observation(place, own_concept("change", say("resource.change", {{"visit", change["from"].get<std::string>()}, {"element", change["element"].get<std::string>()}})));
    o["focus"] = list_of(place.bundle.reference_to("body structure " + change["element"].get<std::string>()));
    o["valueCodeableConcept"] = own_concept(change["verdict"].get<std::string>(), spaced(change["verdict"].get<std::string>()));
    finish(place, o);
    Json volume{{"code", own_concept("volume_percent", say("resource.change_of_volume"))}};
    put_quantity(volume, change["volume_percent"], percent);
    o["component"] = list_of(volume);
    return place.bundle.add(place.name + " change " + change["element"].get<std::string>() + " " + change["from"].get<std::string>(), std::move(o));
}

Json patient_resource(const Bundle& bundle, const Identity* identity) {
    Json patient{{"resourceType", "Patient"}, {"identifier", list_of({{"system", "urn:perisclera:pseudonym"}, {"value", bundle.uuid("pseudonym")}})}};
    if (identity == nullptr) return patient;
    if (!identity->id.empty()) patient["identifier"].push_back({{"type", text_only(say("resource.patient_id"))}, {"value", clean_text(identity->id.reveal_for_page_header())}});
    std::string shown = clean_text(identity->name.reveal_for_page_header());
    for (char& c : shown) c = c == '^' ? ' ' : c;       // separates the groups of a DICOM person name (PS3.5 6.2)
    if (!shown.empty()) patient["name"] = list_of({{"text", shown}});
    return patient;
}

}  // namespace

std::string to_fhir(const ReportModel& model, const Identity* identity) {
    const Json report = Json::parse(to_json(model));
    Bundle bundle(report);
    Json diagnostic{{"resourceType", "DiagnosticReport"},
                    {"identifier", list_of({{"system", "urn:ietf:rfc:3986"}, {"value", "urn:uuid:" + bundle.uuid("report")}})},
                    {"status", "preliminary"},
                    {"category", list_of(concept_of("http://terminology.hl7.org/CodeSystem/v2-0074", "RAD", "Radiology"))},
                    {"code", concept_of(loinc, "18748-4", "Diagnostic Imaging Report")},
                    {"subject", bundle.reference_to("patient")}};
    Json results = Json::array(), studies = Json::array();
    bundle.add("patient", patient_resource(bundle, identity));
    bundle.add("software", {{"resourceType", "Device"},
                            {"status", "active"},
                            {"deviceName", list_of({{"name", "perisclera"}, {"type", "model-name"}})},
                            {"type", text_only(say("resource.software"))},
                            {"version", list_of({{"value", report["program"]["version"]}})},
                            {"note", list_of({{"text", report["statement"]}})}});
    add_elements(bundle, model);
    for (const Json& visit : report["timepoints"]) {
        const Json of_visit = add_studies(bundle, visit);
        for (const Json& reference : of_visit) studies.push_back(reference);
        for (const Eye eye : both_eyes) {
            const std::string side(name(eye));
            const Json& e = visit["eyes"][side];
            const Place place{bundle, visit["id"].get<std::string>() + " " + side, eye, visit["study_date"], of_visit};
            if (e["globe"]["status"] != "found" && e["elements"].empty()) continue;
            results.push_back(worded(place, "presence", own_concept("presence", say("resource.presence")), e["explant"]["presence"], {{"present", e["explant"]["probability"].get<double>()}}, nullptr));
            results.push_back(measurement(place, "axial length", own_concept("axial_length", say("resource.axial_length")), e["globe"]["axial_length_mm"], millimetres, nullptr));
            results.push_back(measurement(place, "diameter", own_concept("equatorial_diameter", say("resource.equatorial_diameter")), e["globe"]["equatorial_diameter_mm"], millimetres, nullptr));
            for (const Json& element : e["elements"]) results.push_back(element_group(place, element));
            for (const Json& change : report["changes"])
                if (change["eye"] == side && change["to"] == visit["id"]) results.push_back(change_observation(place, change));
        }
    }
    if (!model.timepoints.empty()) diagnostic["effectiveDateTime"] = report["timepoints"].back()["study_date"];
    if (!results.empty()) diagnostic["result"] = results;
    if (!studies.empty()) diagnostic["imagingStudy"] = studies;
    const auto answers = answer(model);
    diagnostic["conclusion"] = say(model.simulated ? "resource.conclusion_simulated" : "resource.conclusion", {{"right", answers[0]}, {"left", answers[1]}, {"statement", statement()}});
    bundle.add("report", std::move(diagnostic));
    return bundle.finish(model.simulated).dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace perisclera::report
