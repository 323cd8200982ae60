// SPDX-License-Identifier: Apache-2.0
#include "drawn_pair.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <nlohmann/json.hpp>

#include "perisclera/core/eye.h"
#include "phantoms/random_field.h"
#include "tests/bank/draw.h"
#include "tests/bank/room.h"

namespace perisclera::growth {

namespace {

using Json = nlohmann::ordered_json;
using bank::dealt;
using bank::Draw;
using bank::rounded;

enum class Deck : std::uint64_t { kind = 301, event, element_ct, element_mr, like, slices_ct, slices_mr };

constexpr std::array kinds{"CT-CT", "CT-CT", "CT-CT", "CT-CT", "CT+MR", "CT+MR", "T2-T2", "CT-T2"};
constexpr std::array events{Event::none, Event::none,  Event::none,  Event::none,  Event::none,   Event::none,    Event::none,     Event::none,
                            Event::grown, Event::grown, Event::grown, Event::moved, Event::broken, Event::removed, Event::cut_back, Event::added};
/// CT alone hardly shows a hydrogel; on MR only what is surely no silicone has a size.
constexpr std::array elements_ct{"solid band", "solid tire", "solid tire", "solid tire", "sponge", "sponge", "sponge", "hydrogel"};
constexpr std::array elements_mr{"hydrogel", "hydrogel", "hydrogel", "hydrogel", "hydrogel", "solid tire", "sponge"};

/// `on_mr_alone`: a visit has no CT, so that a hydrogel needs much water to be seen.
Json drawn_element(Draw& draw, const std::string& material, bool on_mr_alone) {
    const auto tenth = [&](double low, double high) { return rounded(draw.between(low, high), 0.1); };
    Json e;
    double span = 0.0;   // of what goes along the limbus without closing
    if (material == "solid band") {
        e = {{"material", "solid_silicone"}, {"form", "encircling"}, {"width_mm", tenth(2.5, 4.5)}, {"thickness_mm", rounded(draw.between(0.7, 1.3), 0.05)},
             {"limbus_mm", tenth(11.5, 14.0)}, {"indentation_mm", tenth(0.2, 0.6)}};
    } else if (material == "solid tire") {
        e = {{"material", "solid_silicone"}, {"form", "segmental"}, {"width_mm", tenth(6.0, 10.0)}, {"thickness_mm", rounded(draw.between(1.5, 3.0), 0.05)},
             {"limbus_mm", tenth(11.5, 14.0)}, {"indentation_mm", tenth(0.4, 1.0)}};
        span = tenth(2.5, 5.5);
    } else if (material == "sponge") {
        const double size = tenth(3.5, 5.5);
        e = {{"material", "silicone_sponge"}, {"form", "segmental"}, {"width_mm", size}, {"thickness_mm", rounded(size * draw.between(0.75, 1.0), 0.1)},
             {"limbus_mm", tenth(11.5, 13.5)}, {"indentation_mm", tenth(0.4, 1.0)}};
        span = tenth(2.0, 4.5);
    } else {
        e = {{"material", "hydrogel"}, {"form", draw.happens(0.5) ? "irregular" : "segmental"}, {"width_mm", tenth(7.0, 11.0)}, {"thickness_mm", tenth(4.0, 9.0)},
             {"limbus_mm", tenth(10.5, 12.5)}, {"indentation_mm", tenth(0.5, 1.2)}, {"water_fraction", rounded(on_mr_alone ? draw.between(0.90, 0.97) : draw.between(0.84, 0.95), 0.01)}};
        span = tenth(2.5, 4.5);
    }
    if (e["material"] == "solid_silicone") e["hu_at_120_kvp"] = rounded(draw.between(150.0, 235.0), 1.0);
    if (e["material"] == "silicone_sponge") e["hu_at_120_kvp"] = rounded(draw.between(-650.0, -480.0), 1.0);
    if (span > 0.0) {
        const double from = tenth(0.0, 12.0);
        e["from_hour"] = from;
        e["to_hour"] = std::fmod(from + span, 12.0);
    }
    return e;
}

double span_of(const Json& e) { return std::fmod(e["to_hour"].get<double>() - e["from_hour"].get<double>() + 12.0, 12.0); }

/// The element before it grew to what it is, by this factor of its volume: smaller in each direction in which it can be. What a hydrogel swells by is water.
Json before_growth(Json e, double factor) {
    const bool ring = !e.contains("from_hour");
    const double scale = std::pow(factor, ring ? -1.0 / 2.0 : -1.0 / 3.0);
    for (const auto* key : {"width_mm", "thickness_mm"}) e[key] = e[key].get<double>() * scale;
    if (!ring) {
        const double span = span_of(e), less = 0.5 * span * (1.0 - scale);
        e["from_hour"] = std::fmod(e["from_hour"].get<double>() + less, 12.0);
        e["to_hour"] = std::fmod(e["from_hour"].get<double>() + span * scale, 12.0);
    }
    e["indentation_mm"] = std::min(e["indentation_mm"].get<double>(), e["thickness_mm"].get<double>());
    if (e.contains("water_fraction")) e["water_fraction"] = std::max(0.3, 1.0 - (1.0 - e["water_fraction"].get<double>()) * factor);
    return e;
}

/// A part of it, from the same end on; of a ring a segment.
Json remnant_of(Draw& draw, Json e) {
    const double share = draw.between(0.3, 0.65);
    if (!e.contains("from_hour")) {
        e["form"] = "segmental";
        e["from_hour"] = rounded(draw.between(0.0, 12.0), 0.1);
        e["to_hour"] = std::fmod(e["from_hour"].get<double>() + 11.9 * share, 12.0);
    } else {
        e["to_hour"] = std::fmod(e["from_hour"].get<double>() + span_of(e) * share, 12.0);
    }
    return e;
}

std::array<Json, 2> states_of(Draw& draw, const Json& element, Event event) {
    const Json none = Json::array(), there = Json::array({element});
    switch (event) {
        case Event::none: break;
        case Event::grown: return {Json::array({before_growth(element, 1.0 + std::exp(draw.between(std::log(0.03), std::log(2.0))))}), there};
        case Event::moved: {
            Json before = element;
            before["limbus_mm"] = element["limbus_mm"].get<double>() + rounded(draw.between(0.5, 4.0), 0.1);
            return {Json::array({before}), there};
        }
        case Event::broken: {
            Json after = element;
            after["fragments"] = draw.happens(0.5) ? 2 : 3;
            after["gap_mm"] = rounded(draw.between(0.5, 2.0), 0.1);
            return {there, Json::array({after})};
        }
        case Event::removed: return {there, none};
        case Event::cut_back: return {there, Json::array({remnant_of(draw, element)})};
        case Event::added: return {none, there};
    }
    return {there, there};
}

/// The scanner of a visit, for both series of it.
struct Scanner {
    double slice_ct, slice_mr, pixel_ct, pixel_mr;
    std::string kernel, plane;
};

Scanner drawn_scanner(Draw& draw, std::uint64_t seed, std::size_t slot) {
    constexpr std::array slices_ct{0.6, 1.0, 1.0, 1.5, 2.0, 3.0};
    constexpr std::array slices_mr{2.0, 3.0, 3.0, 4.0};
    return {dealt(slices_ct, phantoms::mixed(seed, static_cast<std::uint64_t>(Deck::slices_ct)), slot), dealt(slices_mr, phantoms::mixed(seed, static_cast<std::uint64_t>(Deck::slices_mr)), slot),
            rounded(draw.between(0.4, 0.6), 0.01), rounded(draw.between(0.45, 0.7), 0.01), draw.happens(0.2) ? "bone" : "soft", draw.happens(0.5) ? "axial" : "coronal"};
}

/// Where head and eyes are while a series, or several in one go, are taken.
Json drawn_position(Draw& draw) {
    const auto angle = [&](double most) { return rounded(draw.between(-most, most), 0.1); };
    const double left = angle(7.0), up = angle(7.0);
    return {{"pose_deg", {angle(8.0), angle(8.0), angle(8.0)}}, {"shift_mm", {angle(3.0), angle(3.0), angle(3.0)}}, {"gaze_deg", {{"right", {left, up}}, {"left", {left, up}}}}};
}

Json series_of(Draw& draw, const Scanner& scanner, const std::string& kind, const Json& position) {
    Json s = position;
    s["kind"] = kind;
    s["field_mm"] = {108.0, 66.0, 48.0};   // the eyes and what lies about them, no more: a pair costs as many seconds as it has voxels
    if (kind == "ct") {
        s["plane"] = "axial";
        s["spacing_mm"] = scanner.pixel_ct;
        s["slice_thickness_mm"] = scanner.slice_ct;
        s["kernel"] = scanner.kernel;
        s["kvp"] = draw.one_of(std::array{100.0, 120.0, 120.0, 140.0});
        s["noise"] = rounded(scanner.kernel == "bone" ? draw.between(12.0, 25.0) : draw.between(4.0, 12.0), 0.5);
    } else {
        s["plane"] = scanner.plane;
        s["spacing_mm"] = scanner.pixel_mr;
        s["slice_thickness_mm"] = scanner.slice_mr;
        s["noise"] = rounded(draw.between(10.0, 35.0), 1.0);
    }
    return s;
}

/// T2 and T1 of a visit are taken one after the other from the same slices.
Json visit_series(Draw& draw, const Scanner& scanner, bool ct, bool mr) {
    Json series = Json::array();
    if (ct) series.push_back(series_of(draw, scanner, "ct", drawn_position(draw)));
    const Json position = drawn_position(draw);
    if (mr) series.push_back(series_of(draw, scanner, "t2", position)), series.push_back(series_of(draw, scanner, "t1", position));
    return series;
}

/// As thick as both places and forms of it have room for: where it was is no thicker than where it is.
Json with_room_for_both(Draw& draw, const Json& anatomy_only, const std::string& eye, Json element, Event event) {
    Json scenario = anatomy_only;
    const auto fitted = [&](const Json& e) {
        scenario["eyes"][eye]["elements"] = Json::array({e});
        return Json::parse(bank::with_room(scenario.dump()))["eyes"][eye]["elements"][0]["thickness_mm"].get<double>();
    };
    const Draw before = draw;
    for (const Json& state : states_of(draw, element, event)) {
        if (state.empty() || event == Event::grown) continue;
        element["thickness_mm"] = std::min(element["thickness_mm"].get<double>(), fitted(state[0]));
    }
    draw = before;   // the states are drawn anew, from what has room
    element["thickness_mm"] = std::min(element["thickness_mm"].get<double>(), fitted(element));
    return element;
}

}  // namespace

DrawnPair draw_pair(std::uint64_t seed, int number) {
    const auto slot = static_cast<std::size_t>(number);
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    Draw draw(phantoms::mixed(seed, slot));
    const std::string kind = dealt(kinds, of_deck(Deck::kind), slot);
    const std::string material = kind == "CT-CT" ? dealt(elements_ct, of_deck(Deck::element_ct), slot) : dealt(elements_mr, of_deck(Deck::element_mr), slot);
    const std::array ct{kind != "T2-T2", kind == "CT-CT" || kind == "CT+MR"};
    // A hydrogel needs more than CT to be seen.
    const std::array mr{kind == "T2-T2" || kind == "CT+MR" || (kind == "CT-T2" && material == "hydrogel"), kind != "CT-CT"};
    const Event event = dealt(events, of_deck(Deck::event), slot);
    const bool like = kind != "CT-T2" && dealt(std::array{true, false}, of_deck(Deck::like), slot);
    const std::string eye(name(draw.happens(0.5) ? Eye::right : Eye::left));
    const std::string build = draw.one_of(std::array{"usual", "usual", "long", "short", "myopic"});
    const Scanner first = drawn_scanner(draw, seed, 2 * slot), second = like ? first : drawn_scanner(draw, seed, 2 * slot + 1);

    Json scenario{{"seed", number + 1},
                  {"patient", {{"id", "GROWTH-" + std::to_string(number)}, {"sex", "O"}, {"birth_year", 1950}}},
                  {"anatomy", {{"seed", static_cast<int>(draw.between(0.0, 1e9))}, {"right", build}, {"left", build}}},
                  {"eyes", {{"right", Json::object()}, {"left", Json::object()}}},
                  {"timepoints", Json::array({{{"study_date", "2018-03-01"}, {"series", visit_series(draw, first, ct[0], mr[0])}},
                                              {{"study_date", "2021-06-15"}, {"series", visit_series(draw, second, ct[1], mr[1])}}})}};
    const Json element = with_room_for_both(draw, scenario, eye, drawn_element(draw, material, !ct[1]), event);
    const auto states = states_of(draw, element, event);
    for (const std::size_t date : {0u, 1u}) scenario["timepoints"][date]["eyes"][eye]["elements"] = states[date];
    const auto slice = [&](const Scanner& s, bool on_ct) { return on_ct ? s.slice_ct : s.slice_mr; };
    return {number, scenario.dump(), kind, material, event, like, std::max(slice(first, ct[0]), slice(second, ct[1]))};
}

}  // namespace perisclera::growth
