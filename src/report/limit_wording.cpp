// SPDX-License-Identifier: Apache-2.0
// The smallest that these scans would have shown.
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

}  // namespace perisclera::report
