// SPDX-License-Identifier: Apache-2.0
#include "outcome.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

namespace perisclera::accuracy {

namespace {

using nlohmann::json;

template <class Q>
void add(Outcome& out, const std::string& quantity, const Measurement<Q>& m, double truth) {
    const Measured<Q>* measured = m.measured();
    if (measured == nullptr) return;
    out.quantities.emplace(quantity, Compared{measured->value().value(), truth, measured->low().value() <= truth && truth <= measured->high().value()});
}

/// Clock positions are compared on the dial: the truth is taken on the turn nearest to the measured value.
void add_hour(Outcome& out, const std::string& quantity, const Measurement<ClockHours>& m, double truth) {
    if (const auto* measured = m.measured()) {
        const double turns = std::round((measured->value().value() - truth) / 12.0);
        add(out, quantity, m, truth + 12.0 * turns);
    }
}

double middle_hour(double from, double span) { return std::fmod(from + 0.5 * span, 12.0); }

/// Within two clock hours of the true middle, or both all round.
bool at_the_place(const report::ElementEntry& e, const json& truth) {
    const double span = truth["clock_hours"]["span_hours"];
    if (span >= 11.9) return e.span.has_value() && e.span.measured()->value().value() >= 6.0;
    const auto *from = e.from.measured(), *said = e.span.measured();
    if (from == nullptr || said == nullptr) return false;
    return ClockPosition(middle_hour(from->value().value(), said->value().value())).distance_to(ClockPosition(middle_hour(truth["clock_hours"]["from"], span))).value() < 2.0;
}

void compare_element(Outcome& out, const report::ElementEntry& e, const json& truth) {
    add(out, "volume", e.volume, truth["volume_mm3"]);
    const json& section = truth["largest_section"];
    add(out, "thickness", e.largest_section.thickness, section["thickness_mm"]);
    add(out, "width", e.largest_section.width, section["width_mm"]);
    add(out, "area", e.largest_section.area, section["area_mm2"]);
    add(out, "anterior", e.limbus_anterior, truth["limbus_mm"]["anterior"]);
    add(out, "posterior", e.limbus_posterior, truth["limbus_mm"]["posterior"]);
    if (truth["clock_hours"]["span_hours"] < 11.9) {
        add_hour(out, "from", e.from, truth["clock_hours"]["from"]);
        add_hour(out, "to", e.to, truth["clock_hours"]["to"]);
    }
    out.true_thickness_mm = section["thickness_mm"];
    const std::string material = truth["material"];
    if (e.material.label) {
        out.said = name(*e.material.label);
        out.label = out.said == material ? "right" : "wrong";
    } else {
        out.label = "undetermined";
        for (const report::Material m : e.material.candidates) out.said += (out.said.empty() ? "" : " or ") + std::string(name(m));
    }
}

}  // namespace

Outcome compare(const DrawnPatient& patient, const report::ReportModel& model, const std::string& truth_json) {
    Outcome out{};
    out.patient = patient;
    const json truth = json::parse(truth_json);
    const json& visit = truth["timepoints"][0];
    const report::Timepoint& said = model.timepoints.front();
    for (const Eye eye : both_eyes) {
        const std::string which(name(eye));
        const report::EyeEntry& entry = said.eye(eye);
        const json& elements = visit["eyes"][which]["elements"];
        if (entry.globe.place) {
            for (const json& s : visit["series"]) {
                if (s["series_uid"] != entry.globe.place->frame_of_series) continue;
                const json& c = s["centres"][which];
                out.globe_errors_mm.push_back(length(entry.globe.place->centre - PatientPoint{c[0], c[1], c[2]}));
            }
        }
        const std::string presence(name(entry.explant.presence));
        if (elements.empty()) {
            out.false_elements += static_cast<int>(entry.elements.size());
            if (out.fellow_presence.empty() || presence == "present" || out.fellow_presence == "absent") out.fellow_presence = presence;
            continue;
        }
        out.side = which;
        out.presence = presence;
        out.true_thickness_mm = elements[0]["largest_section"]["thickness_mm"];
        for (const report::ElementEntry& e : entry.elements) {
            if (!out.found && at_the_place(e, elements[0])) {
                out.found = true;
                compare_element(out, e, elements[0]);
            } else {
                ++out.false_elements;
            }
        }
    }
    return out;
}

}  // namespace perisclera::accuracy
