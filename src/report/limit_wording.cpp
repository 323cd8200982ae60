// SPDX-License-Identifier: Apache-2.0
// The smallest that these scans would have shown, and which further scan would tell the material.
#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string mm(Mm q) { return say("unit.millimetres", {{"number", fixed(q.value(), 1)}}); }

/// What would be missed of bands and sponges, as a clause.
std::string silicone_limit(const ExplantEntry& explant) {
    const auto &band = explant.smallest_band_thickness, &sponge = explant.smallest_sponge_diameter;
    if (band && sponge) return say("limit.band_and_sponge", {{"band", mm(*band)}, {"sponge", mm(*sponge)}});
    if (band) return say("limit.band", {{"band", mm(*band)}});
    return sponge ? say("limit.sponge", {{"sponge", mm(*sponge)}}) : say("limit.not_determined");
}

}  // namespace

std::string detection_limit(const ExplantEntry& explant, bool none_seen) {
    const std::string silicone = silicone_limit(explant), limit = none_seen ? say("limit.none_seen", {{"limit", silicone}}) : silicone;
    if (!explant.smallest_hydrogel_thickness) return say("limit.any_hydrogel", {{"limit", limit}});
    const std::string thickness = mm(*explant.smallest_hydrogel_thickness);
    if (!explant.least_hydrogel_water) return say("limit.hydrogel", {{"limit", limit}, {"thickness", thickness}});
    return say("limit.hydrogel_of_little_water", {{"limit", limit}, {"thickness", thickness}, {"percent", fixed(100.0 * explant.least_hydrogel_water->value(), 0)}});
}

std::string next_study_in_words(const MaterialEntry& material) {
    const bool known = material.label.has_value();
    switch (material.most_informative_next) {
        case NextStudy::ct: return say(known ? "next_study.ct_confirms" : "next_study.ct_separates");
        case NextStudy::t1: return say(known ? "next_study.t1_confirms" : "next_study.t1_separates");
        case NextStudy::t2: return say(known ? "next_study.t2_confirms" : "next_study.t2_separates");
        case NextStudy::second_ct_energy: return say(known ? "next_study.second_ct_energy_confirms" : "next_study.second_ct_energy_separates");
        case NextStudy::none: break;
    }
    return say(known ? "next_study.none_confirms" : "next_study.none_separates");
}

}  // namespace perisclera::report
