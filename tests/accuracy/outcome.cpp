// SPDX-License-Identifier: Apache-2.0
#include "outcome.h"

#include <cmath>

#include "perisclera/core/eye.h"
#include "perisclera/core/frames.h"
#include "tests/bank/said.h"

namespace perisclera::accuracy {

namespace {

using nlohmann::json;

void add(Outcome& out, const std::string& quantity, const json& said, double truth) {
    if (const auto m = bank::said(said)) out.quantities.emplace(quantity, Compared{m->value, truth, m->holds(truth)});
}

/// Clock positions are compared on the dial: the truth is taken on the turn nearest to the measured value.
void add_hour(Outcome& out, const std::string& quantity, const json& said, double truth) {
    if (const auto m = bank::said(said)) add(out, quantity, said, truth + 12.0 * std::round((m->value - truth) / 12.0));
}

void compare_element(Outcome& out, const json& said, const json& truth) {
    add(out, "volume", said["volume_mm3"], truth["volume_mm3"]);
    const json &section = said["largest_section"], &true_section = truth["largest_section"];
    add(out, "thickness", section["thickness_mm"], true_section["thickness_mm"]);
    add(out, "width", section["width_mm"], true_section["width_mm"]);
    add(out, "area", section["area_mm2"], true_section["area_mm2"]);
    add(out, "anterior", said["limbus_mm"]["anterior"], truth["limbus_mm"]["anterior"]);
    add(out, "posterior", said["limbus_mm"]["posterior"], truth["limbus_mm"]["posterior"]);
    if (truth["clock_hours"]["span_hours"] < 11.9) {
        add_hour(out, "from", said["clock_hours"]["from"], truth["clock_hours"]["from"]);
        add_hour(out, "to", said["clock_hours"]["to"], truth["clock_hours"]["to"]);
    }
    out.true_thickness_mm = true_section["thickness_mm"];
    const json& material = said["material"];
    if (material["label"] != "undetermined") {
        out.said = material["label"];
        out.label = material["label"] == truth["material"] ? "right" : "wrong";
    } else {
        out.label = "undetermined";
        for (const std::string candidate : material["candidates"]) out.said += (out.said.empty() ? "" : " or ") + candidate;
    }
}

}  // namespace

Outcome compare(const DrawnPatient& patient, const json& report, const json& truth) {
    Outcome out{};
    out.patient = patient;
    const json& visit = truth["timepoints"][0];
    for (const Eye eye : both_eyes) {
        const std::string which(name(eye));
        const json& said = report["timepoints"][0]["eyes"][which];
        const json& elements = visit["eyes"][which]["elements"];
        const json &globe = said["globe"], &place = globe["centre_lps_mm"];
        if (!place.is_null()) {
            for (const json& s : visit["series"]) {
                if (s["series_uid"] != globe["frame_of_series"]) continue;
                const json& c = s["centres"][which];
                out.globe_errors_mm.push_back(length(PatientPoint{place[0], place[1], place[2]} - PatientPoint{c[0], c[1], c[2]}));
            }
        }
        const std::string presence = said["explant"]["presence"];
        if (elements.empty()) {
            out.false_elements += static_cast<int>(said["elements"].size());
            if (out.fellow_presence.empty() || presence == "present" || out.fellow_presence == "absent") out.fellow_presence = presence;
            continue;
        }
        out.side = which;
        out.presence = presence;
        out.true_thickness_mm = elements[0]["largest_section"]["thickness_mm"];
        for (const json& element : said["elements"]) {
            if (!out.found && bank::at_the_place(element["clock_hours"], elements[0]["clock_hours"])) {
                out.found = true;
                compare_element(out, element, elements[0]);
            } else {
                ++out.false_elements;
            }
        }
    }
    return out;
}

}  // namespace perisclera::accuracy
