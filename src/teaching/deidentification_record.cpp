// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/deidentification_record.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "perisclera/core/text.h"
#include "perisclera/core/version.h"
#include "perisclera/teaching/confidentiality_table.h"
#include "perisclera/teaching/kept_attributes.h"

namespace perisclera::teaching {

namespace {

using Json = nlohmann::ordered_json;

double rounded(double value, double step) { return std::round(value / step) * step; }

Json face(const FaceSurface& f) {
    return {{"imaged_mm2", rounded(f.imaged_mm2, 1.0)},
            {"kept_mm2", rounded(f.kept_mm2, 1.0)},
            {"kept_share", std::round(f.kept_share() * 10000.0) / 10000.0},
            {"cut_beneath_mm2", rounded(f.cut_beneath_mm2, 1.0)}};
}

Json attributes(AttributeFates fates) {
    for (const KeptAttribute& a : kept_attributes()) {
        if (a.origin != Origin::added) continue;
        constexpr const char* digits = "0123456789abcdef";
        std::string tag;
        for (int shift = 28; shift >= 0; shift -= 4) tag += (shift == 12 ? "," : "") + std::string(1, digits[a.tag >> shift & 15u]);
        AttributeFate& fate = fates[tag];
        fate.done = "added", fate.why = say(a.why);
    }
    Json out = Json::array();
    for (const auto& [tag, fate] : fates)
        out.push_back({{"tag", tag}, {"name", fate.name}, {"done", fate.done}, {"table", fate.standard.empty() ? Json(nullptr) : Json(fate.standard)}, {"why", fate.why}, {"files", fate.files}});
    return out;
}

}  // namespace

std::string deidentification_json(const std::vector<SeriesRecord>& series, const AttributeFates& fates, const RegionLengths& lengths, bool recognizable,
                                 bool dropped_overlays) {
    Json records = Json::array();
    for (const SeriesRecord& s : series)
        records.push_back({{"series_uid", s.uid}, {"input_digest", s.input_digest}, {"images", s.images}, {"original_size", s.original_size}, {"kept_size", s.kept_size}, {"face_surface", face(s.face)}});
    Json options{"Clean Pixel Data", "Clean Graphics", "Clean Descriptors", "Retain Longitudinal Temporal Information Modified Dates"};
    if (!recognizable) options.push_back("Clean Recognizable Visual Features");
    const Json record{
        {"format", "perisclera-deidentification"},
        {"format_version", 1},
        {"program", {{"version", program_version}}},
        {"profile",
         {{"name", "PS3.15 annex E, Basic Application Confidentiality Profile"},
          {"table", confidentiality_edition},
          {"options", options}}},
        {"rules",
          {say("deidentification.only_what_is_listed"), say("deidentification.times_and_dates"), say("deidentification.burned_in_text"), say("deidentification.drawn_text"),
           say(dropped_overlays ? "deidentification.overlays_dropped" : "deidentification.overlays_refused"), say("deidentification.meta_group")}},
        {"region",
         {{"sphere_mm", lengths.sphere},
          {"sphere_behind_globe_mm", lengths.sphere_behind},
          {"front_mm", lengths.front},
          {"skin_removed_mm", lengths.skin},
          {"thick_layers_removed_beyond_mm", lengths.layer_front},
          {"skin_left_over_enclosed_gas_mm", lengths.over_gas},
          {"beyond_globe_mm", lengths.globe},
          {"beyond_cornea_mm", lengths.cornea},
          {"patch_radius_mm", lengths.patch},
          {"patch_beyond_globe_mm", lengths.before}}},
        {"recognizable_visual_features", recognizable ? "YES" : "NO"},
        {"face_statement", say("deidentification.face")},
        {"series", records},
        {"attributes", attributes(fates)}};
    return record.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace perisclera::teaching
