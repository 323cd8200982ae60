// SPDX-License-Identifier: Apache-2.0
#include "drawn_eyes.h"

#include <cmath>
#include <string>

#include "perisclera/core/eye.h"
#include "phantoms/random_field.h"
#include "tests/bank/draw.h"

namespace perisclera::globes {

namespace {

using Json = nlohmann::ordered_json;
using bank::Draw;
using bank::dealt;
using bank::rounded;

/// Each deck is shuffled by itself.
enum class Deck : std::uint64_t { build = 1, lens, contents, explant, muscles, missing };

double tenth(Draw& draw, double low, double high) { return rounded(draw.between(low, high), 0.1); }

Json arc(Draw& draw, Json element, double shortest_hours, double longest_hours) {
    const double from = tenth(draw, 0.0, 11.9);
    element["from_hour"] = from;
    element["to_hour"] = std::fmod(from + tenth(draw, shortest_hours, longest_hours), 12.0);
    return element;
}

Json band(Draw& draw) {
    return {{"material", "solid_silicone"}, {"form", "encircling"}, {"limbus_mm", tenth(draw, 11.5, 14.0)}, {"width_mm", tenth(draw, 2.0, 4.0)},
            {"thickness_mm", rounded(draw.between(0.6, 1.2), 0.05)}, {"indentation_mm", tenth(draw, 0.2, 0.6)}};
}

/// The clip of metal that holds a band's ends together; a little larger than the band's section (sizes: common practice, no source).
Json clip(Draw& draw, const Json& on) {
    const double hour = tenth(draw, 0.0, 11.5);
    return {{"material", draw.happens(0.5) ? "tantalum" : "titanium"}, {"form", "segmental"}, {"from_hour", hour}, {"to_hour", hour + 0.4}, {"limbus_mm", on["limbus_mm"]},
            {"width_mm", on["width_mm"].get<double>() + 0.4}, {"thickness_mm", on["thickness_mm"].get<double>() + 0.3}, {"indentation_mm", on["indentation_mm"]}};
}

Json sponge(Draw& draw, const std::string& form) {
    const double size = form == "encircling" ? tenth(draw, 3.0, 4.0) : tenth(draw, 3.0, 5.5);
    Json e{{"material", "silicone_sponge"}, {"form", form}, {"limbus_mm", tenth(draw, 11.5, 13.0)}, {"width_mm", size}, {"thickness_mm", tenth(draw, 0.7 * size, size)},
           {"indentation_mm", tenth(draw, 0.5, 1.5)}};
    if (form == "segmental") return arc(draw, e, 2.0, 4.0);
    if (form == "radial") e["hour"] = tenth(draw, 0.0, 12.0), e["length_mm"] = tenth(draw, 7.0, 10.0);
    return e;
}

Json hydrogel(Draw& draw, const std::string& form) {
    const Json e{{"material", "hydrogel"}, {"form", form}, {"limbus_mm", tenth(draw, 10.5, 12.5)}, {"width_mm", tenth(draw, 6.0, 11.0)}, {"thickness_mm", tenth(draw, 3.0, 8.0)},
                 {"indentation_mm", tenth(draw, 0.5, 1.5)}, {"water_fraction", rounded(draw.between(0.3, 0.95), 0.01)}};
    return form == "encircling" ? e : arc(draw, e, 2.5, 4.5);
}

Json elements(Draw& draw, const std::string& explant) {
    if (explant == "none") return Json::array();
    if (explant == "band") return Json::array({band(draw)});
    if (explant == "band with clip") {
        const Json held = band(draw);
        return Json::array({clip(draw, held), held});
    }
    if (explant == "sponge and band") {
        const Json first = sponge(draw, "segmental");
        return Json::array({first, band(draw)});
    }
    if (explant == "tire")
        return Json::array({arc(draw,
                                {{"material", "solid_silicone"}, {"form", "segmental"}, {"limbus_mm", tenth(draw, 11.5, 13.5)}, {"width_mm", tenth(draw, 6.0, 9.0)},
                                 {"thickness_mm", rounded(draw.between(1.5, 2.75), 0.05)}, {"indentation_mm", tenth(draw, 0.5, 1.5)}},
                                2.5, 6.0)});
    const std::string form = explant.substr(explant.find(' ') + 1);
    return Json::array({explant.starts_with("sponge") ? sponge(draw, form) : hydrogel(draw, form)});
}

Json contents(Draw& draw, const std::string& dealt_contents) {
    const bool partial = dealt_contents.starts_with("partial ");
    Json eye{{"contents", partial ? dealt_contents.substr(8) : dealt_contents}};
    if (partial) eye["contents_share"] = rounded(draw.between(0.2, 0.8), 0.05);
    return eye;
}

constexpr std::array builds{"usual", "usual", "usual", "short", "long", "myopic", "staphyloma", "shrunken"};
constexpr std::array lenses{"natural", "natural", "natural", "implant", "implant", "none"};
constexpr std::array filled{"vitreous", "vitreous", "vitreous", "vitreous", "silicone_oil", "partial silicone_oil", "gas", "partial gas", "haemorrhage", "partial haemorrhage"};
constexpr std::array explants{"none", "none", "band", "band with clip", "tire", "sponge segmental", "sponge radial", "sponge encircling", "sponge and band",
                              "hydrogel segmental", "hydrogel irregular", "hydrogel encircling"};
constexpr std::array muscles{false, false, false, false, false, true};
constexpr std::array missing{"", "", "", "", "", "", "", "", "", "", "", "", "", "", "orbital_sphere", "empty_socket"};

}  // namespace

DrawnEyes draw_eyes(std::uint64_t seed, int number) {
    const auto slot = static_cast<std::size_t>(number);
    const auto of_deck = [&](Deck deck) { return phantoms::mixed(seed, static_cast<std::uint64_t>(deck)); };
    Draw draw(phantoms::mixed(phantoms::mixed(seed), slot));
    // One eye is the operated one; what comes to one eye only, and leaves a globe, comes to it.
    const Eye operated = draw.happens(0.5) ? Eye::right : Eye::left;
    const std::string build = dealt(builds, of_deck(Deck::build), slot), gone = dealt(missing, of_deck(Deck::missing), slot);
    const bool thick = dealt(muscles, of_deck(Deck::muscles), slot);
    const double factor = tenth(draw, 1.3, 2.2);

    DrawnEyes drawn;
    drawn.anatomy["seed"] = static_cast<int>(draw.between(0.0, 1e9));
    for (const Eye eye : both_eyes) {
        const std::string word(name(eye));
        const bool own = eye == operated;
        // Both eyes of a person are alike, but only one shrinks, and the fellow of a bulging eye is a myopic one; where an eye is missing, the eye left has the build.
        const bool own_build = gone.empty() ? !own : own;
        drawn.anatomy[word] = build == "shrunken" && !own_build ? "usual" : build == "staphyloma" && !own_build ? "myopic" : build;
        Json state = Json::object(), look_alikes = Json::array();
        if (!own && !gone.empty()) {
            look_alikes.push_back({{"kind", gone}});
            if (gone == "orbital_sphere") look_alikes.back()["material"] = draw.one_of(std::array{"acrylic", "porous_polyethylene", "hydroxyapatite"});
        } else {
            if (own) state = contents(draw, dealt(filled, of_deck(Deck::contents), slot));
            state["lens"] = dealt(lenses, of_deck(Deck::lens), 2 * slot + (own ? 0 : 1));
            // Elements are laid out for an eye of usual size: none lies on a shrunken one.
            if (own && drawn.anatomy[word] != "shrunken") state["elements"] = elements(draw, dealt(explants, of_deck(Deck::explant), slot));
            if (thick) look_alikes.push_back({{"kind", "thickened_muscles"}, {"factor", factor}});
        }
        if (!look_alikes.empty()) state["look_alikes"] = look_alikes;
        drawn.eyes[word] = state;
    }
    return drawn;
}

}  // namespace perisclera::globes
