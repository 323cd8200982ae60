// SPDX-License-Identifier: Apache-2.0
#include "scenario_family.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <utility>

#include "json_value.h"
#include "random_field.h"
#include "scenario.h"

namespace perisclera::phantoms {

namespace {

using nlohmann::ordered_json;

constexpr std::size_t most_members = 100'000;

Error wrong(std::string what) { return {ErrorCode::bad_scenario, std::move(what), "family", "see phantoms/README.md"}; }

struct Place {
    ordered_json::json_pointer pointer;
    std::string text;
};

/// What a place is drawn from: a range, or a list of values.
struct Draw {
    Place place;
    double from = 0.0, to = 0.0;
    bool whole = false;
    ordered_json one_of;
};

struct Grid {
    Place place;
    ordered_json values;
};

struct Family {
    ordered_json base;
    std::vector<Grid> grid;
    std::vector<Draw> draws;
    std::size_t count = 1;
};

Result<Place> place_of(const std::string& text, const ordered_json& base) {
    try {
        Place place{ordered_json::json_pointer(text), text};
        if (place.pointer.empty()) return wrong("\"\" is the whole scenario");
        const auto parent = place.pointer.parent_pointer();
        if (!base.contains(parent) || (base.at(parent).is_array() && !base.contains(place.pointer))) return wrong("\"" + text + "\" is no place in the scenario");
        return place;
    } catch (const ordered_json::exception&) {
        return wrong("\"" + text + "\" is no JSON pointer");
    }
}

bool has_only(const ordered_json& object, std::initializer_list<const char*> keys) {
    for (const auto& item : object.items())
        if (std::none_of(keys.begin(), keys.end(), [&](const char* key) { return item.key() == key; })) return false;
    return true;
}

Result<Draw> draw_of(const std::string& text, const ordered_json& rule, const ordered_json& base) {
    auto place = place_of(text, base);
    if (!place) return place.error();
    Draw draw{std::move(place).value(), 0.0, 0.0, false, {}};
    if (rule.is_object() && rule.contains("one_of") && has_only(rule, {"one_of"}) && rule["one_of"].is_array() && !rule["one_of"].empty()) {
        draw.one_of = rule["one_of"];
        return draw;
    }
    if (!rule.is_object() || !has_only(rule, {"from", "to", "whole"}) || !rule.contains("from") || !rule.contains("to") || !rule["from"].is_number() || !rule["to"].is_number() ||
        (rule.contains("whole") && !rule["whole"].is_boolean()) || rule["from"] > rule["to"])
        return wrong("\"" + text + "\" must be drawn from {\"from\", \"to\"} or {\"one_of\"}");
    draw.from = rule["from"].get<double>(), draw.to = rule["to"].get<double>(), draw.whole = rule.value("whole", false);
    return draw;
}

Result<Family> read_family(const ordered_json& json) {
    if (!json.is_object() || !has_only(json, {"scenario", "grid", "random"})) return wrong("a family has the keys scenario, grid, random");
    if (!json.contains("scenario") || !json["scenario"].is_object()) return wrong("\"scenario\" must be an object");
    Family family{json["scenario"], {}, {}, 1};
    std::size_t points = 1;
    if (json.contains("grid")) {
        if (!json["grid"].is_object()) return wrong("\"grid\" must be an object");
        for (const auto& item : json["grid"].items()) {
            auto place = place_of(item.key(), family.base);
            if (!place) return place.error();
            if (!item.value().is_array() || item.value().empty()) return wrong("\"grid." + item.key() + "\" must be a list of values");
            points *= item.value().size();
            if (points > most_members) return wrong("more than " + std::to_string(most_members) + " members");
            family.grid.push_back({std::move(place).value(), item.value()});
        }
    }
    if (json.contains("random")) {
        const ordered_json& random = json["random"];
        if (!random.is_object() || !has_only(random, {"count", "draw"}) || !random.contains("count") || !random["count"].is_number_unsigned() || !random.contains("draw") || !random["draw"].is_object())
            return wrong("\"random\" must have a count and an object to draw");
        family.count = random["count"].get<std::size_t>();
        if (family.count == 0 || family.count > most_members / points) return wrong("\"random.count\" must give 1 to " + std::to_string(most_members) + " members");
        for (const auto& item : random["draw"].items()) {
            auto draw = draw_of(item.key(), item.value(), family.base);
            if (!draw) return draw.error();
            family.draws.push_back(std::move(draw).value());
        }
    }
    return family;
}

/// 0 up to, not including, 1: by place and number, so that one more place changes none of the others.
double share(std::string_view place, std::uint64_t seed, std::uint64_t number) {
    std::uint64_t key = mixed(seed);
    for (const char c : place) key = mixed(key, static_cast<unsigned char>(c));
    return static_cast<double>(mixed(key, number) >> 11) * 0x1.0p-53;
}

ordered_json drawn(const Draw& draw, std::uint64_t seed, std::uint64_t number) {
    const double at = share(draw.place.text, seed, number);
    if (!draw.one_of.is_null()) return draw.one_of[static_cast<std::size_t>(at * static_cast<double>(draw.one_of.size()))];
    if (draw.whole) return std::floor(draw.from) + std::floor(at * (std::floor(draw.to) - std::floor(draw.from) + 1.0));
    // Ten-thousandths of a millimetre and the like are no digits anybody asked for.
    return std::round((draw.from + at * (draw.to - draw.from)) * 1e4) / 1e4;
}

}  // namespace

Result<std::vector<std::string>> parse_family(std::string_view json_text) {
    if (const auto checked = parse_json(json_text); !checked) return checked.error();  // depth and syntax
    const auto json = ordered_json::parse(json_text, nullptr, false);
    const auto family = read_family(json);
    if (!family) return family.error();
    const auto& [base, grid, draws, count] = family.value();
    const bool seed_given = base.contains("seed") && base["seed"].is_number();
    if (!seed_given) return wrong("\"scenario.seed\" must be a number");
    const auto seed = static_cast<std::uint64_t>(std::clamp(base["seed"].get<double>(), 0.0, 1e15));
    std::size_t points = 1;
    for (const Grid& g : grid) points *= g.values.size();
    std::vector<std::string> members;
    for (std::size_t point = 0; point < points; ++point)
        for (std::size_t k = 0; k < count; ++k) {
            const std::size_t number = members.size();
            ordered_json member = base;
            member["seed"] = seed + number;
            std::size_t rest = point;
            for (std::size_t g = grid.size(); g-- > 0; rest /= grid[g].values.size()) member[grid[g].place.pointer] = grid[g].values[rest % grid[g].values.size()];
            for (const Draw& draw : draws) member[draw.place.pointer] = drawn(draw, seed, number);
            members.push_back(member.dump(1));
            if (const auto scenario = parse_scenario(members.back()); !scenario) return wrong("member " + std::to_string(number + 1) + ": " + scenario.error().what);
        }
    return members;
}

}  // namespace perisclera::phantoms
