// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/considerations.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

/// What kinds of element the report has to speak of.
struct Seen {
    bool any = false, encircling = false;
    PerMaterial<bool> possible{};
};

Seen seen_elements(const ReportModel& model) {
    Seen seen;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (!visit) continue;
        for (const ElementEntry& e : visit->eye(eye).elements) {
            // A foreign body that is no buckle brings nothing: the facts below are about explants.
            if (e.material.label == Material::other) continue;
            seen.any = true;
            seen.encircling = seen.encircling || e.form == Form::encircling;
            if (e.material.label) {
                seen.possible[*e.material.label] = true;
            } else {
                for (const Material m : e.material.candidates) seen.possible[m] = true;
            }
        }
    }
    return seen;
}

}  // namespace

std::vector<Consideration> considerations(const ReportModel& model) {
    const Seen seen = seen_elements(model);
    std::vector<Consideration> out;
    const auto published = [&](std::string_view text, std::string_view source) { out.push_back({say(text), Basis::published, say(source)}); };
    const auto practice = [&](std::string_view text) { out.push_back({say(text), Basis::common_practice, say("consideration.no_source")}); };

    if (seen.possible[Material::hydrogel]) {
        practice("consideration.hydrogel_practice");
        practice("consideration.hydrogel_intruded");
        published("consideration.hydrogel_yearly", "consideration.hydrogel_yearly_source");
        published("consideration.hydrogel_swells", "consideration.hydrogel_swells_source");
        published("consideration.hydrogel_removal", "consideration.hydrogel_removal_source");
        published("consideration.hydrogel_incomplete", "consideration.hydrogel_incomplete_source");
    }
    if (seen.possible[Material::solid_silicone] || seen.possible[Material::silicone_sponge]) {
        practice("consideration.silicone_practice");
        published("consideration.silicone_intruded", "consideration.silicone_intruded_source");
        published("consideration.silicone_removed", "consideration.silicone_removed_source");
    }
    if (seen.possible[Material::silicone_sponge]) published("consideration.sponge_infection", "consideration.sponge_infection_source");
    if (seen.any) {
        published("consideration.redetachment", "consideration.redetachment_source");
        practice("consideration.redetachment_early");
        published("consideration.perforation", "consideration.perforation_source");
        if (seen.encircling) published("consideration.encircling", "consideration.encircling_source");
        published("consideration.alignment_for_removal", "consideration.alignment_for_removal_source");
        published("consideration.alignment_against_removal", "consideration.alignment_against_removal_source");
        published("consideration.removal_alone", "consideration.removal_alone_source");
    }
    return out;
}

}  // namespace perisclera::report
