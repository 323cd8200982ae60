// SPDX-License-Identifier: Apache-2.0
#include "drawn_patient.h"

#include <array>
#include <cmath>

#include <nlohmann/json.hpp>

#include "tests/bank/draw.h"
#include "tests/bank/room.h"

namespace perisclera::accuracy {

namespace {

using Json = nlohmann::ordered_json;
using bank::Draw;
using bank::rounded;

Json element_of(Draw& draw, const std::string& kind, bool outside) {
    Json e;
    const auto hours = [&](double span) {
        const double from = rounded(draw.between(0.0, 12.0), 0.1);
        e["from_hour"] = from;
        e["to_hour"] = std::fmod(from + span, 12.0);
    };
    if (kind == "solid band") {
        e = {{"material", "solid_silicone"}, {"form", "encircling"}, {"width_mm", rounded(draw.between(2.5, 4.0), 0.1)}, {"thickness_mm", rounded(draw.between(0.6, 1.0), 0.05)},
             {"limbus_mm", rounded(draw.between(11.5, 14.0), 0.1)}, {"indentation_mm", rounded(draw.between(0.2, 0.6), 0.1)}};  // never deeper than it is thick
    } else if (kind == "solid tire") {
        e = {{"material", "solid_silicone"}, {"form", "segmental"}, {"width_mm", rounded(draw.between(6.0, 10.0), 0.1)}, {"thickness_mm", rounded(draw.between(1.5, 2.75), 0.05)},
             {"limbus_mm", rounded(draw.between(11.5, 14.0), 0.1)}, {"indentation_mm", rounded(draw.between(0.5, 1.5), 0.1)}};
        if (draw.between(0.0, 1.0) < 0.3)
            e["form"] = "encircling";
        else
            hours(rounded(draw.between(2.5, 5.0), 0.1));
    } else if (kind == "sponge segmental") {
        const double size = rounded(draw.between(3.0, 5.5), 0.1);
        e = {{"material", "silicone_sponge"}, {"form", "segmental"}, {"width_mm", size}, {"thickness_mm", rounded(size * draw.between(0.7, 1.0), 0.1)},
             {"limbus_mm", rounded(draw.between(11.5, 13.5), 0.1)}, {"indentation_mm", rounded(draw.between(0.5, 1.5), 0.1)}};
        hours(rounded(draw.between(2.0, 4.0), 0.1));
    } else if (kind == "sponge radial") {
        const double size = rounded(draw.between(4.0, 5.0), 0.1);
        e = {{"material", "silicone_sponge"}, {"form", "radial"}, {"hour", rounded(draw.between(0.0, 12.0), 0.1)}, {"length_mm", rounded(draw.between(7.0, 10.0), 0.1)},
             {"width_mm", size}, {"thickness_mm", size}, {"limbus_mm", rounded(draw.between(11.0, 12.5), 0.1)}, {"indentation_mm", rounded(draw.between(0.5, 1.5), 0.1)}};
    } else {
        const double kind_of_form = draw.between(0.0, 1.0);
        e = {{"material", "hydrogel"}, {"form", kind_of_form < 0.4 ? "irregular" : kind_of_form < 0.8 ? "segmental" : "encircling"}, {"width_mm", rounded(draw.between(6.0, 11.0), 0.1)},
             {"thickness_mm", rounded(draw.between(3.0, 9.0), 0.1)}, {"limbus_mm", rounded(draw.between(10.5, 12.5), 0.1)}, {"indentation_mm", rounded(draw.between(0.5, 1.5), 0.1)},
             {"water_fraction", rounded(outside ? draw.between(0.3, 0.6) : draw.between(0.6, 0.95), 0.01)}};
        if (e["form"] != "encircling") hours(rounded(draw.between(2.5, 4.0), 0.1));
    }
    if (e["material"] == "solid_silicone") e["hu_at_120_kvp"] = outside ? draw.one_of(std::array{110.0, 130.0, 260.0, 271.0}) : rounded(draw.between(150.0, 235.0), 1.0);
    if (e["material"] == "silicone_sponge") e["hu_at_120_kvp"] = outside ? draw.one_of(std::array{-390.0, -420.0, -740.0}) : rounded(draw.between(-650.0, -480.0), 1.0);
    return e;
}

Json series_of(Draw& draw, const std::string& kind, bool outside) {
    const double turn = 10.0, gaze = outside ? 10.0 : 6.0;
    const auto angle = [&](double most) { return rounded(draw.between(-most, most), 0.1); };
    const double gaze_left = angle(gaze), gaze_up = angle(gaze);
    Json s{{"kind", kind}, {"pose_deg", {angle(turn), angle(turn), angle(turn)}}, {"shift_mm", {angle(8.0), angle(8.0), angle(8.0)}},
           {"gaze_deg", {{"right", {gaze_left, gaze_up}}, {"left", {gaze_left, gaze_up}}}}};
    if (kind == "ct") {
        s["plane"] = "axial";
        s["spacing_mm"] = rounded(draw.between(0.4, 0.6), 0.01);
        s["slice_thickness_mm"] = draw.one_of(std::array{0.6, 1.0, 1.5, 2.0, 3.0});
        s["kvp"] = draw.one_of(std::array{80.0, 100.0, 120.0, 120.0, 140.0});
        s["kernel"] = outside && draw.between(0.0, 1.0) < 0.6 ? "bone" : "soft";
        s["noise"] = rounded(outside ? draw.between(12.0, 25.0) : draw.between(4.0, 11.0), 0.5);
    } else {
        s["plane"] = draw.between(0.0, 1.0) < 0.5 ? "axial" : "coronal";
        s["slice_thickness_mm"] = draw.one_of(std::array{2.0, 3.0, 4.0});
        s["noise"] = rounded(outside ? draw.between(30.0, 60.0) : draw.between(10.0, 30.0), 1.0);
    }
    return s;
}

}  // namespace

DrawnPatient draw_patient(std::uint64_t seed, int number) {
    Draw draw(seed * 1000003u + static_cast<std::uint64_t>(number));
    constexpr std::array<const char*, 9> kinds{"solid band", "sponge segmental", "hydrogel", "solid tire", "sponge radial", "hydrogel", "solid band", "none", "sponge segmental"};
    const std::string kind = kinds[static_cast<std::size_t>(number) % kinds.size()];
    // A third, spread over the kinds: every kind has some within and some outside.
    const bool outside = (number + number / static_cast<int>(kinds.size())) % 3 == 2;
    // Most visits have everything; every fourth CT only, every fourth MR only.
    const std::string set = number % 4 == 1 ? "CT" : number % 4 == 3 ? "MR" : "CT+MR";
    const Eye eye = draw.between(0.0, 1.0) < 0.5 ? Eye::right : Eye::left;
    // Eyes with detachments are often long; both of one person alike.
    const std::string build = outside ? draw.between(0.0, 1.0) < 0.5 ? "myopic" : "staphyloma" : draw.between(0.0, 1.0) < 0.6 ? "usual" : draw.between(0.0, 1.0) < 0.7 ? "long" : "short";
    Json eyes;
    for (const Eye which : both_eyes) {
        Json state = Json::object();
        if (which == eye && kind != "none") state["elements"] = Json::array({element_of(draw, kind, outside)});
        eyes[std::string(name(which))] = std::move(state);
    }
    Json series = Json::array();
    if (set != "MR") series.push_back(series_of(draw, "ct", outside));
    if (set != "CT") series.push_back(series_of(draw, "t1", outside)), series.push_back(series_of(draw, "t2", outside));
    const Json scenario{{"seed", number + 1},
                        {"patient", {{"id", "SWEEP-" + std::to_string(number)}, {"sex", "O"}, {"birth_year", 1950}}},
                        {"anatomy", {{"seed", static_cast<int>(draw.between(0.0, 1e9))}, {"right", build}, {"left", build}}},
                        {"eyes", eyes},
                        {"timepoints", Json::array({{{"study_date", "2020-03-01"}, {"series", series}}})}};
    return {number, scenario.dump(), kind, set, outside};
}

DrawnPatient with_room(DrawnPatient patient) {
    patient.scenario = bank::with_room(patient.scenario);
    return patient;
}

}  // namespace perisclera::accuracy
