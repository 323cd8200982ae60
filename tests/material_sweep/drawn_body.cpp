// SPDX-License-Identifier: Apache-2.0
#include "drawn_body.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "phantoms/random_field.h"

namespace perisclera::material_sweep {

namespace {

using Json = nlohmann::ordered_json;
using bank::Draw;
using bank::rounded;

enum class Deck : std::uint64_t { kind = 701, look_alike };

constexpr std::array kinds{"solid band",       "solid tire",       "solid tire",             "solid rod",     "sponge",     "sponge",    "sponge",
                           "swollen hydrogel", "swollen hydrogel", "half-swollen hydrogel",  "firm hydrogel", "look-alike", "look-alike"};
constexpr std::array look_alikes{"cyst", "wood_splinter", "scleral_plaque", "drainage_device", "oil_pocket", "fracture_plate", "abscess", "abscess with gas", "infected sponge", "infected sponge"};

double tenth(Draw& draw, double low, double high) { return rounded(draw.between(low, high), 0.1); }
double on_dial(double hour) { return rounded(std::fmod(hour + 24.0, 12.0), 0.1); }

/// CT number at 120 kVp of the filled rubber.
double filler(Draw& draw, bool outside) {
    if (outside) return rounded(draw.happens(0.5) ? draw.between(100.0, 125.0) : draw.between(255.0, 300.0), 1.0);
    return rounded(draw.happens(0.3) ? draw.between(115.0, 170.0) : draw.between(170.0, 250.0), 1.0);
}

double density(Draw& draw, bool outside) {
    if (outside) return rounded(draw.happens(0.5) ? draw.between(-740.0, -650.0) : draw.between(-480.0, -390.0), 1.0);
    return rounded(draw.between(-650.0, -480.0), 1.0);
}

Json solid(Draw& draw, const std::string& kind, double middle_hour, bool outside) {
    Json e{{"material", "solid_silicone"}, {"form", "segmental"}};
    if (kind == "solid band") {
        e.update({{"form", "encircling"}, {"width_mm", tenth(draw, 2.5, 4.5)}, {"thickness_mm", rounded(draw.between(0.6, 1.0), 0.05)}, {"indentation_mm", tenth(draw, 0.2, 0.6)}});
    } else if (kind == "solid tire") {
        e.update({{"width_mm", tenth(draw, 6.0, 10.0)}, {"thickness_mm", rounded(draw.between(1.5, 2.75), 0.05)}, {"indentation_mm", tenth(draw, 0.4, 1.2)}});
    } else {
        const double thickness = tenth(draw, 2.0, 4.0);
        e.update({{"section", "ellipse"}, {"width_mm", rounded(thickness * draw.between(1.0, 1.5), 0.1)}, {"thickness_mm", thickness}, {"indentation_mm", tenth(draw, 0.4, 1.2)}});
    }
    e["limbus_mm"] = tenth(draw, 11.5, 14.0);
    e["hu_at_120_kvp"] = filler(draw, outside);
    if (kind != "solid band") {
        const double span = tenth(draw, 2.0, 5.0);
        e["from_hour"] = on_dial(middle_hour - 0.5 * span);
        e["to_hour"] = on_dial(middle_hour + 0.5 * span);
    }
    return e;
}

Json sponge(Draw& draw, double middle_hour, bool outside) {
    const double size = tenth(draw, 2.8, 5.5);
    Json e{{"material", "silicone_sponge"}, {"form", "segmental"}, {"width_mm", size}, {"thickness_mm", std::max(2.5, rounded(size * draw.between(0.75, 1.0), 0.1))},
           {"limbus_mm", tenth(draw, 11.5, 13.5)}, {"indentation_mm", tenth(draw, 0.4, 1.2)}, {"hu_at_120_kvp", density(draw, outside)}};
    if (draw.happens(0.3)) {
        e["form"] = "radial";
        e["hour"] = on_dial(middle_hour);
        e["length_mm"] = tenth(draw, 7.0, 10.0);
    } else {
        const double span = tenth(draw, 2.0, 4.5);
        e["from_hour"] = on_dial(middle_hour - 0.5 * span);
        e["to_hour"] = on_dial(middle_hour + 0.5 * span);
    }
    return e;
}

Json hydrogel(Draw& draw, const std::string& kind, double middle_hour, bool outside) {
    const double water = kind == "firm hydrogel" ? draw.between(0.15, 0.35) : kind == "swollen hydrogel" ? draw.between(0.6, 0.95) : draw.between(0.35, 0.6);
    const double span = tenth(draw, 2.5, 4.5);
    Json e{{"material", "hydrogel"}, {"form", draw.happens(0.5) ? "irregular" : "segmental"}, {"from_hour", on_dial(middle_hour - 0.5 * span)}, {"to_hour", on_dial(middle_hour + 0.5 * span)},
           {"width_mm", tenth(draw, 6.0, 11.0)}, {"thickness_mm", tenth(draw, 3.0, kind == "firm hydrogel" ? 5.0 : 8.0)}, {"limbus_mm", tenth(draw, 10.5, 12.5)},
           {"indentation_mm", tenth(draw, 0.5, 1.5)}, {"water_fraction", rounded(water, 0.01)}};
    if (outside && draw.happens(0.5)) {
        e["capsule_mm"] = tenth(draw, 0.3, 0.8);
        e["calcified_share"] = tenth(draw, 0.0, 0.4);
    }
    return e;
}

Json look_alike(Draw& draw, const std::string& kind, double middle_hour) {
    const double hour = on_dial(middle_hour), limbus = tenth(draw, 10.5, 13.5);
    if (kind == "cyst" || kind == "oil_pocket")
        return {{"kind", kind}, {"hour", hour}, {"limbus_mm", limbus}, {"size_mm", {tenth(draw, 5.0, 9.0), tenth(draw, 4.0, 7.0), tenth(draw, 2.0, 4.0)}}};
    if (kind == "wood_splinter")
        return {{"kind", kind}, {"hour", hour}, {"limbus_mm", limbus}, {"length_mm", tenth(draw, 6.0, 14.0)}, {"diameter_mm", tenth(draw, 1.5, 3.5)}, {"gap_mm", tenth(draw, 0.0, 1.5)}};
    if (kind == "scleral_plaque")
        return {{"kind", kind}, {"muscle", draw.happens(0.5) ? "medial" : "lateral"}, {"size_mm", {tenth(draw, 4.0, 7.0), tenth(draw, 1.5, 3.0), tenth(draw, 0.6, 1.5)}}};
    if (kind == "drainage_device") return {{"kind", kind}, {"material", draw.happens(0.5) ? "silicone" : "polypropylene"}, {"bleb_mm", tenth(draw, 0.5, 3.0)}};
    if (kind == "fracture_plate") return {{"kind", kind}, {"material", draw.one_of(std::array{"polyethylene", "titanium", "titanium_mesh"})}, {"wall", draw.happens(0.5) ? "floor" : "medial"}};
    Json abscess{{"kind", "abscess"}, {"size_mm", {tenth(draw, 8.0, 14.0), tenth(draw, 12.0, 20.0), tenth(draw, 2.5, 5.0)}}};
    if (kind == "abscess with gas") abscess["gas_share"] = tenth(draw, 0.1, 0.6);
    return abscess;
}

}  // namespace

std::string drawn_kind(std::uint64_t seed, std::size_t slot) {
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    const auto kind_at = [&](std::size_t at) { return std::string_view(bank::dealt(kinds, of_deck(Deck::kind), at)); };
    if (kind_at(slot) != "look-alike") return std::string(kind_at(slot));
    // The how many-th look-alike it is: two come in each deck of kinds.
    std::size_t before = 2 * (slot / kinds.size());
    for (std::size_t at = slot - slot % kinds.size(); at < slot; ++at) before += kind_at(at) == "look-alike" ? 1 : 0;
    return bank::dealt(look_alikes, of_deck(Deck::look_alike), before);
}

Json drawn_body(Draw& draw, const std::string& kind, double middle_hour, bool outside) {
    const auto elements = [](Json e) { return Json{{"elements", Json::array({std::move(e)})}}; };
    if (kind.starts_with("solid")) return elements(solid(draw, kind, middle_hour, outside));
    if (kind == "sponge") return elements(sponge(draw, middle_hour, outside));
    if (kind == "infected sponge") {
        Json e = sponge(draw, middle_hour, outside);
        e["filled_share"] = rounded(draw.between(0.35, 0.9), 0.05);
        return elements(e);
    }
    if (kind.ends_with("hydrogel")) return elements(hydrogel(draw, kind, middle_hour, outside));
    return {{"look_alikes", Json::array({look_alike(draw, kind, middle_hour)})}};
}

}  // namespace perisclera::material_sweep
