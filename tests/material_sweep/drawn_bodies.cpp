// SPDX-License-Identifier: Apache-2.0
#include "drawn_bodies.h"

#include <cmath>

#include "drawn_body.h"
#include "perisclera/core/eye.h"
#include "phantoms/look_alike_fit.h"
#include "phantoms/random_field.h"
#include "tests/bank/room.h"

namespace perisclera::material_sweep {

namespace {

using Json = nlohmann::ordered_json;
using bank::dealt;
using bank::Draw;
using bank::rounded;

enum class Deck : std::uint64_t { series = 801, outside, kvp, slices_ct, slices_mr };

constexpr std::array series_sets{"CT", "T1", "T2", "CT+T1", "CT+T2", "T1+T2", "CT+T1+T2", "CT+T1+T2"};

/// Where head and eyes are while a series, or several in one go, are taken.
Json drawn_position(Draw& draw, bool outside) {
    const auto angle = [&](double most) { return rounded(draw.between(-most, most), 0.1); };
    const double left = angle(outside ? 9.0 : 6.0), up = angle(outside ? 9.0 : 6.0);
    return {{"pose_deg", {angle(8.0), angle(8.0), angle(8.0)}}, {"shift_mm", {angle(3.0), angle(3.0), angle(3.0)}}, {"gaze_deg", {{"right", {left, up}}, {"left", {left, up}}}},
            {"field_mm", {112.0, 68.0, 50.0}}};   // the eyes and what lies about them, no more: a visit costs as many seconds as it has voxels
}

Json ct_series(Draw& draw, std::uint64_t seed, std::size_t slot, bool outside) {
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    Json s = drawn_position(draw, outside);
    const bool bone = draw.happens(outside ? 0.5 : 0.15);
    s["kind"] = "ct";
    s["plane"] = "axial";
    s["spacing_mm"] = rounded(draw.between(0.4, 0.6), 0.01);
    s["slice_thickness_mm"] = dealt(std::array{0.6, 1.0, 1.0, 1.5, 2.0, 3.0}, of_deck(Deck::slices_ct), slot);
    s["kvp"] = dealt(std::array{80.0, 100.0, 120.0, 120.0, 140.0}, of_deck(Deck::kvp), slot);
    s["kernel"] = bone ? "bone" : "soft";
    s["noise"] = rounded(bone || outside ? draw.between(12.0, 25.0) : draw.between(4.0, 12.0), 0.5);
    if (outside && draw.happens(0.5)) s["beam_hardening"] = rounded(draw.between(0.1, 0.4), 0.1);
    return s;
}

Json mr_series(Draw& draw, const Json& position, const std::string& kind, bool outside) {
    Json s = position;
    s["kind"] = kind;
    s["noise"] = rounded(outside ? draw.between(30.0, 60.0) : draw.between(10.0, 30.0), 1.0);
    s["echo_time_ms"] = rounded(kind == "t1" ? draw.between(9.0, 15.0) : draw.between(80.0, 120.0), 1.0);
    s["repetition_time_ms"] = rounded(kind == "t1" ? draw.between(420.0, 680.0) : draw.between(3000.0, 5000.0), 10.0);
    return s;
}

/// T1 and T2 of a visit are taken one after the other from the same slices.
Json drawn_series(Draw& draw, std::uint64_t seed, std::size_t slot, const std::string& set, bool outside) {
    const auto has = [&](const char* kind) { return set.find(kind) != std::string::npos; };
    Json series = Json::array();
    if (has("CT")) series.push_back(ct_series(draw, seed, slot, outside));
    if (!has("T1") && !has("T2")) return series;
    Json position = drawn_position(draw, outside);
    position["plane"] = draw.happens(0.5) ? "axial" : "coronal";
    position["spacing_mm"] = rounded(draw.between(0.45, 0.7), 0.01);
    position["slice_thickness_mm"] = dealt(std::array{2.0, 3.0, 3.0, 4.0}, phantoms::mixed(seed, static_cast<std::uint64_t>(Deck::slices_mr)), slot);
    if (outside && draw.happens(0.5)) position["field_strength_tesla"] = 3.0;
    if (has("T1")) series.push_back(mr_series(draw, position, "t1", outside));
    if (has("T2")) series.push_back(mr_series(draw, position, "t2", outside));
    return series;
}

/// What imitates has no thickness alone that could give way: all its sizes do, where they are drawn.
void make_smaller(Json& look_alike) {
    constexpr double scale = 0.85;
    if (look_alike.contains("size_mm"))
        for (Json& size : look_alike["size_mm"]) size = rounded(scale * size.get<double>(), 0.1);
    for (const char* key : {"length_mm", "diameter_mm"})
        if (look_alike.contains(key)) look_alike[key] = rounded(scale * look_alike[key].get<double>(), 0.1);
}

/// Each eye by itself: what one has too much is not taken from the other.
void give_room(Json& scenario) {
    const Json drawn = scenario;
    for (const Eye eye : both_eyes) {
        Json alone = drawn;
        Json& state = alone["eyes"][std::string(name(eye))];
        alone["eyes"][std::string(name(fellow(eye)))] = Json::object();
        if (state.contains("look_alikes")) {
            constexpr int tries = 5;
            for (int k = 0; k < tries && !phantoms::look_alikes_fit(phantoms::parse_scenario(alone.dump()).value()); ++k) make_smaller(state["look_alikes"][0]);
        } else {
            state = Json::parse(bank::with_room(alone.dump()))["eyes"][std::string(name(eye))];
        }
        scenario["eyes"][std::string(name(eye))] = state;
    }
}

}  // namespace

DrawnBodies draw_bodies(std::uint64_t seed, int number) {
    const auto slot = static_cast<std::size_t>(number);
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    Draw draw(phantoms::mixed(phantoms::mixed(seed, 0x6d61'7465'7269'616cu), slot));
    DrawnBodies out{number, "", dealt(series_sets, of_deck(Deck::series), slot), {drawn_kind(seed, 2 * slot), drawn_kind(seed, 2 * slot + 1)},
                    dealt(std::array{false, false, true}, of_deck(Deck::outside), slot)};
    const std::string build = out.outside_assumptions ? draw.one_of(std::array{"long", "myopic", "usual"}) : draw.one_of(std::array{"usual", "usual", "long", "short"});
    const double hour = draw.between(0.0, 12.0);
    // The fellow's mirrored place is at 12 less the hour: the other body lies at least a quarter of the dial from it.
    const std::array hours{hour, 12.0 - hour + draw.between(3.0, 9.0)};
    Json eyes;
    for (const Eye eye : both_eyes) {
        const auto side = static_cast<std::size_t>(eye);
        eyes[std::string(name(eye))] = drawn_body(draw, out.kind[side], hours[side], out.outside_assumptions);
    }
    Json scenario{{"seed", number + 1},
                  {"patient", {{"id", "MATERIAL-" + std::to_string(number)}, {"sex", "O"}, {"birth_year", 1950}}},
                  {"anatomy", {{"seed", static_cast<int>(draw.between(0.0, 1e9))}, {"right", build}, {"left", build}}},
                  {"eyes", eyes},
                  {"timepoints", Json::array({{{"study_date", "2020-03-01"}, {"series", drawn_series(draw, seed, slot, out.series, out.outside_assumptions)}}})}};
    give_room(scenario);
    out.scenario = scenario.dump();
    return out;
}

}  // namespace perisclera::material_sweep
