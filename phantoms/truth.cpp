// SPDX-License-Identifier: Apache-2.0
#include "truth.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "look_alike_truth.h"

namespace perisclera::phantoms {

namespace {

using Json = nlohmann::ordered_json;

/// Numbers as a reader wants them: a ten-thousandth is far below what anyone measures.
double rounded(double value) { return std::round(value * 1e4) / 1e4 + 0.0; }

Json element_json(const Element& element, const GlobeShape& globe) {
    const ElementShape shape(element, globe);
    const auto [from, to, span] = shape.clock_extent();
    const auto [anterior, posterior] = shape.limbus_extent_mm();
    const TrueSection section = shape.largest_section();
    Json j;
    j["material"] = name(element.material);
    j["form"] = name(element.form);
    j["clock_hours"] = {{"from", rounded(from)}, {"to", rounded(to)}, {"span_hours", rounded(span)}};
    j["limbus_mm"] = {{"anterior", rounded(anterior)}, {"posterior", rounded(posterior)}};
    j["volume_mm3"] = rounded(shape.volume_mm3());
    j["indentation_mm"] = element.indentation_mm;
    j["largest_section"] = {{"clock_hour", rounded(section.clock_hour)}, {"width_mm", rounded(section.width_mm)},
                            {"thickness_mm", rounded(section.thickness_mm)}, {"area_mm2", rounded(section.area_mm2)}};
    if (element.material == Material::hydrogel) j["water_fraction"] = element.water_fraction;
    if (element.overlap.length_mm > 0.0) j["junction"] = {{"kind", "overlap"}, {"clock_hour", element.overlap.hour}};
    if (element.fragments > 1) j["fragments"] = element.fragments;
    if (element.filled_share > 0.0) j["filled_share"] = element.filled_share;
    if (element.capsule_mm > 0.0) j["capsule_mm"] = element.capsule_mm, j["calcified_share"] = element.calcified_share;
    return j;
}

Json look_alike_json(const LookAlikeTruth& t) {
    const LookAlike& l = t.look_alike;
    Json j{{"kind", name(l.kind)}, {"explant", false}};
    if (l.material) j["material"] = name(*l.material);
    if (t.on_globe) {
        const auto& [hours, limbus] = *t.on_globe;
        j["clock_hours"] = {{"from", rounded(hours[0])}, {"to", rounded(hours[1])}, {"span_hours", rounded(hours[2])}};
        j["limbus_mm"] = {{"anterior", rounded(limbus[0])}, {"posterior", rounded(limbus[1])}};
    }
    if (t.from_globe_mm) j["from_globe_mm"] = {rounded((*t.from_globe_mm)[0]), rounded((*t.from_globe_mm)[1]), rounded((*t.from_globe_mm)[2])};
    if (l.kind == LookAlikeKind::fracture_plate || l.kind == LookAlikeKind::abscess) j["wall"] = name(l.wall);
    if (l.kind == LookAlikeKind::scleral_plaque) j["muscle"] = l.lateral ? "lateral" : "medial";
    j["volume_mm3"] = rounded(t.volume_mm3);
    if (l.bleb_mm > 0.0) j["fluid_mm3"] = rounded(t.fluid_mm3);
    if (l.gas_share > 0.0) j["gas_mm3"] = rounded(t.gas_mm3);
    return j;
}

/// What was drawn of one eye and its orbit; nothing where the anatomy is fixed.
Json anatomy_json(const EyeState& state) {
    const EyeAnatomy& a = state.anatomy;
    if (!a.sclera || !a.cushion || !a.torsion_deg) return nullptr;
    Json j{{"limbus_diameter_mm", rounded(2.0 * a.limbus_radius_mm)}, {"corneal_radius_mm", rounded(a.corneal_radius_mm)}, {"from_midline_mm", rounded(a.from_midline_mm)},
           {"fat_share", rounded(a.cushion->fat_share)}, {"torsion_deg", rounded(*a.torsion_deg)}, {"staphyloma_mm", rounded(a.staphyloma.depth_mm)},
           {"nerve_sheath_mm", rounded(a.nerve_sheath_mm)}, {"superior_oblique_mm", rounded(a.superior_oblique_mm)}};
    j["sclera_mm"] = {{"limbus", rounded(a.sclera->limbus_mm)}, {"ora", rounded(a.sclera->ora_mm)}, {"equator", rounded(a.sclera->equator_mm)},
                      {"mid_posterior", rounded(a.sclera->mid_posterior_mm)}, {"posterior_pole", rounded(a.sclera->posterior_pole_mm)},
                      {"behind_insertions", rounded(a.sclera->behind_insertions_mm)}};
    constexpr std::array<const char*, 4> recti{"superior", "inferior", "medial", "lateral"};
    for (std::size_t i = 0; i < recti.size(); ++i)
        j["recti"][recti[i]] = {{"insertion_mm", rounded(a.recti[i].insertion_mm)}, {"thickness_mm", rounded(a.recti[i].belly_mm)},
                                {"insertion_width_mm", rounded(a.recti[i].insertion_width_mm)}};
    return j;
}

Json timepoint_json(const TimepointTruth& t) {
    Json j;
    j["study_date"] = t.study_date;
    j["series"] = Json::array();
    for (const SeriesTruth& s : t.series) {
        Json series{{"series_uid", s.series_uid}, {"kind", s.kind}, {"plane", s.plane}};
        for (const Eye eye : both_eyes) {
            const PatientPoint c = s.centres[index_of(eye)];
            const PatientVector a = s.axes[index_of(eye)];
            series["centres"][std::string(name(eye))] = {rounded(c.x), rounded(c.y), rounded(c.z)};
            series["axes"][std::string(name(eye))] = {rounded(a.x), rounded(a.y), rounded(a.z)};
            series["leans_deg"][std::string(name(eye))] = rounded(s.leans_deg[index_of(eye)]);
            if (const auto level = s.fluid_levels[index_of(eye)]) series["fluid_level_y_mm"][std::string(name(eye))] = rounded(*level);
        }
        j["series"].push_back(series);
    }
    j["elements"] = Json::array();
    for (const Eye eye : both_eyes) {
        const std::string key(name(eye));
        const EyeState& state = t.eyes[index_of(eye)];
        const GlobeShape globe = shape_of(state);
        Json elements = Json::array();
        for (const Element& e : state.elements) elements.push_back(element_json(e, globe));
        for (const Json& e : elements) j["elements"].push_back(e);
        Json& out = j["eyes"][key];
        const bool missing = without_globe(state.look_alikes);
        if (missing)
            out = {{"globe", "missing"}, {"elements", elements}};
        else
            out = {{"axial_length_mm", rounded(state.axial_length_mm)}, {"equatorial_diameter_mm", rounded(2.0 * globe.radius)}, {"elements", elements}};
        if (const Json anatomy = anatomy_json(state); !anatomy.is_null()) out["anatomy"] = anatomy;
        if (!missing && state.contents != Contents::vitreous) {
            const ContentsTruth contents = contents_truth(t.eyes, eye);
            out["contents"] = {{"kind", name(state.contents)}, {"volume_mm3", rounded(contents.contents_mm3)}, {"cavity_mm3", rounded(contents.cavity_mm3)}};
        }
        for (const LookAlikeTruth& l : look_alike_truths(t.eyes, eye)) out["look_alikes"].push_back(look_alike_json(l));
        j["outer_radius_mm"][key] = missing ? Json(nullptr) : Json(globe.radius);
    }
    return j;
}

}  // namespace

SeriesTruth series_truth(const Series& series, const std::string& series_uid, const HeadModel& head, const HeadPose& pose) {
    SeriesTruth truth{series_uid, std::string(name(series.kind)), std::string(name(series.plane)), {}, {}, {}, {}};
    for (const Eye eye : both_eyes) {
        truth.centres[index_of(eye)] = pose.to_patient(head.placement(eye).centre);
        truth.axes[index_of(eye)] = pose.to_patient(head.placement(eye).anterior);
        truth.leans_deg[index_of(eye)] = head.placement(eye).lean_deg();
        // Gravity points along the patient's y axis.
        if (const auto level = head.eye(eye).level_mm()) truth.fluid_levels[index_of(eye)] = truth.centres[index_of(eye)].y + *level;
    }
    return truth;
}

std::string truth_json(const std::vector<TimepointTruth>& timepoints) {
    Json j;
    j["timepoints"] = Json::array();
    bool right = false, left = false;
    std::vector<std::string> materials;
    for (const TimepointTruth& t : timepoints) {
        j["timepoints"].push_back(timepoint_json(t));
        right = right || !t.eyes[0].elements.empty();
        left = left || !t.eyes[1].elements.empty();
        for (const EyeState& eye : t.eyes)
            for (const Element& e : eye.elements)
                if (std::string word(name(e.material)); materials.empty() || materials.front() != word) materials.push_back(word);
    }
    // One operated eye has a side, one kind of element a material; otherwise the lists above say all.
    j["side"] = right != left ? Json(right ? "right" : "left") : Json(nullptr);
    j["material"] = materials.size() == 1 ? Json(materials.front()) : Json(nullptr);
    return j.dump(1) + "\n";
}

}  // namespace perisclera::phantoms
