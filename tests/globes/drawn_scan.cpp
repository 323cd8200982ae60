// SPDX-License-Identifier: Apache-2.0
#include "drawn_scan.h"

#include <array>
#include <cmath>

#include "drawn_eyes.h"
#include "phantoms/random_field.h"
#include "tests/bank/draw.h"
#include "tests/bank/room.h"

namespace perisclera::globes {

namespace {

using Json = nlohmann::ordered_json;
using bank::Draw;
using bank::dealt;
using bank::rounded;

/// Each deck is shuffled by itself, and otherwise than those of the eyes.
enum class Deck : std::uint64_t { kind = 101, plane, slices, slices_3d, field, turned, contrasts, planes, thicknesses };

double tenth(Draw& draw, double low, double high) { return rounded(draw.between(low, high), 0.1); }

bool is_ct(const std::string& kind) { return kind.starts_with("ct"); }
bool is_gradient_echo(const std::string& kind) { return kind == "t1_prepared" || kind == "t1_gradient_echo"; }

/// What the scanner does, apart from where head and eyes are. `kind`: a scenario's, or "ct bone".
Json settings(Draw& draw, const std::string& kind, double slice_mm) {
    Json s{{"kind", is_ct(kind) ? "ct" : kind}, {"slice_thickness_mm", slice_mm}, {"shift_mm", {tenth(draw, -8.0, 8.0), tenth(draw, -8.0, 8.0), tenth(draw, -8.0, 8.0)}}};
    if (is_ct(kind)) {
        const bool bone = kind == "ct bone";
        s["spacing_mm"] = rounded(draw.between(0.35, 0.6), 0.01);
        s["kvp"] = draw.one_of(std::array{80.0, 100.0, 120.0, 120.0, 140.0});
        s["kernel"] = bone ? "bone" : "soft";
        s["noise"] = rounded(bone ? draw.between(12.0, 35.0) : draw.between(4.0, 16.0), 0.5);
        return s;
    }
    s["spacing_mm"] = rounded(draw.between(0.4, 0.8), 0.01);
    s["field_strength_tesla"] = draw.happens(0.5) ? 1.5 : 3.0;
    s["noise"] = rounded(is_gradient_echo(kind) ? draw.between(2.0, 8.0) : draw.between(10.0, 40.0), 0.5);
    // Two-dimensional sequences usually leave a tenth between slices.
    if (!is_gradient_echo(kind) && slice_mm >= 2.0 && draw.happens(0.5)) s["slice_spacing_mm"] = 1.1 * slice_mm;
    return s;
}

/// The eyes look this way together, a little apart as eyes behind closed lids do.
Json gaze(Draw& draw, double left, double up) {
    const auto about = [&](double angle) { return rounded(angle + draw.between(-2.0, 2.0), 0.1); };
    return {{"right", {about(left), about(up)}}, {"left", {about(left), about(up)}}};
}

Json series_of(Draw& draw, std::uint64_t seed, std::size_t slot) {
    constexpr std::array kinds{"ct", "ct", "ct", "ct bone", "ct bone", "t1", "t1", "t2", "t2", "t1_fatsat", "t1_contrast", "t1_contrast_fatsat", "t1_prepared",
                               "t1_gradient_echo", "pd", "t2_fatsat", "stir", "flair"};
    constexpr std::array planes{"axial", "axial", "axial", "coronal", "coronal", "sagittal", "tilted", "tilted"};
    constexpr std::array slices_mm{0.6, 1.0, 1.5, 2.0, 2.5, 3.0, 3.0, 4.0, 5.0};
    constexpr std::array slices_3d_mm{0.6, 0.8, 1.0, 1.0, 1.2, 1.5, 2.0, 3.0};
    // Left to right, front to back, bottom to top: usual, much larger, and too small for whole eyes in each direction.
    constexpr std::array usual{130.0, 80.0, 64.0};
    constexpr std::array fields{usual, usual, usual, usual, usual, usual, std::array{170.0, 120.0, 90.0}, std::array{74.0, 80.0, 64.0}, std::array{130.0, 40.0, 64.0},
                                std::array{130.0, 80.0, 20.0}};
    constexpr std::array turned_deg{8.0, 8.0, 15.0, 30.0};
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };

    const std::string kind = dealt(kinds, of_deck(Deck::kind), slot), plane = dealt(planes, of_deck(Deck::plane), slot);
    Json s = settings(draw, kind, is_gradient_echo(kind) ? dealt(slices_3d_mm, of_deck(Deck::slices_3d), slot) : dealt(slices_mm, of_deck(Deck::slices), slot));
    s["field_mm"] = dealt(fields, of_deck(Deck::field), slot);
    s["plane"] = plane == "tilted" ? draw.happens(0.5) ? "coronal" : "axial" : plane;
    if (plane == "tilted") {
        if (is_ct(kind) && s["plane"] == "axial")
            s["gantry_tilt_deg"] = tenth(draw, -25.0, 25.0);
        else
            s["tilt_deg"] = {tenth(draw, -25.0, 25.0), tenth(draw, -25.0, 25.0)};
    }
    const double turned = dealt(turned_deg, of_deck(Deck::turned), slot);
    s["pose_deg"] = {tenth(draw, -turned, turned), tenth(draw, -turned, turned), tenth(draw, -turned, turned)};
    const double away = draw.between(0.0, 22.0), towards = draw.between(0.0, 2.0 * phantoms::pi);
    s["gaze_deg"] = gaze(draw, away * std::cos(towards), away * std::sin(towards));
    return s;
}

std::string scenario(int number, const std::string& id, const DrawnEyes& drawn, const Json& series) {
    const Json text{{"seed", number + 1},
                    {"patient", {{"id", id + std::to_string(number)}, {"sex", "O"}, {"birth_year", 1950}}},
                    {"anatomy", drawn.anatomy},
                    {"eyes", drawn.eyes},
                    {"timepoints", Json::array({{{"study_date", "2020-03-01"}, {"series", series}}})}};
    return bank::with_room(text.dump());
}

}  // namespace

std::string draw_patient(std::uint64_t seed, int number) {
    const auto slot = static_cast<std::size_t>(number);
    Draw draw(phantoms::mixed(phantoms::mixed(seed, 1), slot));
    Json series = Json::array();
    for (const std::size_t which : {0u, 1u}) series.push_back(series_of(draw, seed, 2 * slot + which));
    return scenario(number, "GLOBES-", draw_eyes(seed, number), series);
}

std::string draw_pair(std::uint64_t seed, int number) {
    struct Two {
        const char *first, *second;
    };
    constexpr std::array contrasts{Two{"ct", "t1"}, Two{"ct", "t2"}, Two{"t1", "t2"}};
    constexpr std::array planes{Two{"axial", "axial"}, Two{"axial", "coronal"}};
    constexpr std::array thicknesses_mm{std::array{1.0, 1.0}, std::array{3.0, 3.0}, std::array{1.0, 3.0}, std::array{0.6, 2.0}};
    const auto slot = static_cast<std::size_t>(number);
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    Draw draw(phantoms::mixed(phantoms::mixed(seed, 2), slot));
    const Two kinds = dealt(contrasts, of_deck(Deck::contrasts), slot), plane = dealt(planes, of_deck(Deck::planes), slot);
    const auto slices_mm = dealt(thicknesses_mm, of_deck(Deck::thicknesses), slot);

    // Half the turn lies on either side of straight ahead. Small turns about the axes add up as a vector does, to a degree or so.
    const double turn = draw.between(0.0, 29.0), up = draw.between(-1.0, 1.0), round = draw.between(0.0, 2.0 * phantoms::pi);
    const std::array axis{std::sqrt(1.0 - up * up) * std::cos(round), std::sqrt(1.0 - up * up) * std::sin(round), up};
    const double away = draw.between(0.0, 19.0), towards = draw.between(0.0, 2.0 * phantoms::pi);
    Json series = Json::array();
    for (const bool first : {true, false}) {
        const double half = first ? -0.5 : 0.5;
        Json s = settings(draw, first ? kinds.first : kinds.second, slices_mm[first ? 0 : 1]);
        s["plane"] = first ? plane.first : plane.second;
        s["field_mm"] = {130.0, 84.0, 70.0};
        s["pose_deg"] = {rounded(half * turn * axis[0], 0.1), rounded(half * turn * axis[1], 0.1), rounded(half * turn * axis[2], 0.1)};
        s["gaze_deg"] = gaze(draw, half * away * std::cos(towards), half * away * std::sin(towards));
        series.push_back(s);
    }
    return scenario(number, "PAIR-", draw_eyes(seed, number), series);
}

}  // namespace perisclera::globes
