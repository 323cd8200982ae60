// SPDX-License-Identifier: Apache-2.0
#include "image_outcome.h"

#include <array>
#include <cmath>

#include "perisclera/core/clock_position.h"
#include "perisclera/core/eye.h"

namespace perisclera::material_sweep {

namespace {

using nlohmann::json;

constexpr std::array class_names{"solid_silicone", "silicone_sponge", "hydrogel", "other"};

std::optional<MaterialClass> class_named(const std::string& name) {
    for (const MaterialClass m : all_material_classes)
        if (class_names[static_cast<std::size_t>(m)] == name) return m;
    return std::nullopt;
}

bool at_its_place(const json& said, const json& truth) {
    if (truth.contains("clock_hours")) return bank::at_the_place(said["clock_hours"], truth["clock_hours"]);
    const json& place = truth["from_globe_mm"];   // left, posterior, superior
    const ClockPosition direction = ClockPosition::from_components(place[0], place[2]);
    const auto from = bank::said(said["clock_hours"]["from"]), span = bank::said(said["clock_hours"]["span_hours"]);
    constexpr double hours_beside = 3.0;   // as far as an orbital wall reaches
    return from && span && ClockPosition(std::fmod(from->value + 0.5 * span->value, 12.0)).distance_to(direction).value() < hours_beside;
}

void take_opinion(JudgedBody& body, const json& material) {
    body.found = true;
    body.label = class_named(material["label"]);
    for (const json& candidate : material["candidates"])
        if (const auto m = class_named(candidate)) body.candidates.push_back(*m);
    for (std::size_t m = 0; m < class_names.size(); ++m) body.probability[m] = material["probabilities"][class_names[m]];
    body.next = material["most_informative_next"];
    body.water = bank::said(material["water_fraction"]);
    if (!material.contains("cautions")) return;
    body.cautioned = false;
    for (const json& caution : material["cautions"])
        body.cautioned = *body.cautioned || caution["code"] == "infection_not_excluded" || caution["code"] == "gas_outside_element";
}

JudgedBody true_body(const DrawnBodies& patient, Eye eye, const json& truth, const json& drawn) {
    JudgedBody body;
    body.name = "patient " + std::to_string(patient.number) + ", " + std::string(name(eye));
    body.through_images = true;
    body.series = patient.series;
    body.kind = patient.kind[static_cast<std::size_t>(eye)];
    body.outside_assumptions = patient.outside_assumptions;
    body.truth = MaterialClass::other;
    if (truth["elements"].empty()) return body;
    const json& element = truth["elements"][0];
    body.truth = *class_named(element["material"]);
    body.thickness_mm = element["largest_section"]["thickness_mm"];
    body.water_fraction = element.value("water_fraction", 0.0);
    body.hu_at_120_kvp = drawn["elements"][0].value("hu_at_120_kvp", 0.0);
    if (body.truth == MaterialClass::solid_silicone) body.kind = "solid silicone";
    if (body.truth == MaterialClass::hydrogel) body.kind = "hydrogel";
    return body;
}

}  // namespace

std::vector<JudgedBody> compare(const DrawnBodies& patient, const json& report, const json& truth) {
    const json scenario = json::parse(patient.scenario);
    std::vector<JudgedBody> bodies;
    for (const Eye eye : both_eyes) {
        const std::string side(name(eye));
        const json &truth_of_eye = truth["timepoints"][0]["eyes"][side], &said = report["timepoints"][0]["eyes"][side];
        JudgedBody body = true_body(patient, eye, truth_of_eye, scenario["eyes"][side]);
        const json& there = body.imitates() ? truth_of_eye["look_alikes"][0] : truth_of_eye["elements"][0];
        // Of several pieces at its place the first; of what imitates, the one that is called an explant with the most certainty.
        for (const json& element : said["elements"]) {
            if (!at_its_place(element, there)) continue;
            JudgedBody here = body;
            here.candidates.clear();
            take_opinion(here, element["material"]);
            if (!body.found || (body.imitates() && here.largest_of_explants() > body.largest_of_explants())) body = here;
        }
        bodies.push_back(std::move(body));
    }
    return bodies;
}

}  // namespace perisclera::material_sweep
