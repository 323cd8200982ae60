// SPDX-License-Identifier: Apache-2.0
// answer.json, written and read.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "perisclera/teaching/answer_record.h"
#include "record_json.h"

namespace perisclera::teaching {

namespace {

using Json = nlohmann::ordered_json;
using Texts = std::vector<std::string>;

constexpr const char* format = "perisclera-teaching-answer";

Json json_of(const StatedEye& stated) {
    Json eye{{"eye", name(stated.eye)}, {"presence", stated.presence}, {"headline", stated.words.headline}, {"sentences", stated.words.sentences}, {"elements", Json::array()}};
    for (std::size_t e = 0; e < stated.elements.size(); ++e) {
        const StatedElement& element = stated.elements[e];
        const bool told = e < stated.words.elements.size();
        eye["elements"].push_back({{"id", element.id}, {"label", element.label}, {"probability", element.probability}, {"title", told ? stated.words.elements[e].title : ""},
                                   {"sentences", told ? stated.words.elements[e].sentences : Texts{}}});
    }
    return eye;
}

Json json_of(const AnswerFigure& f) {
    Json figure{{"plain", f.plain}, {"outlined", f.outlined}, {"date", f.date}, {"role", f.role}, {"shows", f.shows}, {"plane", f.plane}, {"eye", name(f.eye)}, {"element", f.element},
                {"black", f.black}, {"white", f.white}, {"tip", nullptr}};
    if (f.tip) figure["tip"] = *f.tip;
    return figure;
}

Eye eye_of(const Json& json) { return eye_named(json.at("eye").get<std::string>()).value_or(Eye::right); }

StatedEye eye_from(const Json& json) {
    StatedEye stated{eye_of(json), json.at("presence").get<std::string>(), {}, {json.at("headline").get<std::string>(), json.at("sentences").get<Texts>(), {}}};
    for (const Json& e : json.at("elements")) {
        stated.elements.push_back({e.at("id").get<std::string>(), e.at("label").get<std::string>(), e.at("probability").get<double>()});
        stated.words.elements.push_back({e.at("title").get<std::string>(), e.at("sentences").get<Texts>()});
    }
    return stated;
}

/// Names of pictures lead to files: nothing but what figure_path() makes is followed.
bool is_figure_path(const std::string& path) {
    const auto plain = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; };
    return path.starts_with("figures/") && path.ends_with(".png") && path.size() > 12 && std::all_of(path.begin() + 8, path.end() - 4, plain);
}

std::optional<AnswerFigure> figure_from(const Json& json) {
    AnswerFigure f{json.at("plain").get<std::string>(), json.at("outlined").get<std::string>(), json.at("date").get<std::string>(), json.at("role").get<std::string>(),
                   json.at("shows").get<std::string>(), json.at("plane").get<std::string>(), eye_of(json), json.at("element").get<std::string>(), json.at("black").get<double>(),
                   json.at("white").get<double>(), {}};
    if (!is_figure_path(f.plain) || (!f.outlined.empty() && !is_figure_path(f.outlined))) return std::nullopt;
    if (!json.at("tip").is_null()) f.tip = json.at("tip").get<std::array<double, 2>>();
    return f;
}

}  // namespace

std::string to_json(const AnswerRecord& record) {
    Json json{{"format", format}, {"format_version", record_version}, {"simulated", record.simulated}, {"dates", record.dates}, {"roles", record.roles}, {"eyes", Json::array()},
              {"keys", Json::array()}, {"figures", Json::array()}, {"points", record.points}};
    for (const StatedEye& eye : record.eyes) json["eyes"].push_back(json_of(eye));
    for (const AnswerKey& key : record.keys) json["keys"].push_back({{"right", key.right}, {"why", key.why}});
    for (const AnswerFigure& f : record.figures) json["figures"].push_back(json_of(f));
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<AnswerRecord> parse_answer(std::string_view text) {
    try {
        const Json json = Json::parse(text);
        if (const auto wrong = wrong_head(json, format)) return *wrong;
        AnswerRecord record{json.at("simulated").get<bool>(), json.at("dates").get<int>(), json.at("roles").get<Texts>(), {}, {}, {}, json.at("points").get<Texts>()};
        for (const Json& eye : json.at("eyes")) record.eyes.push_back(eye_from(eye));
        for (const Json& key : json.at("keys")) record.keys.push_back({key.at("right").get<std::vector<std::size_t>>(), key.at("why").get<std::string>()});
        for (const Json& f : json.at("figures")) {
            auto figure = figure_from(f);
            if (!figure) return record_refused("the case names a picture that lies elsewhere");
            record.figures.push_back(*std::move(figure));
        }
        return record;
    } catch (const Json::exception&) {
        return record_refused("a file of the case cannot be read");
    }
}

}  // namespace perisclera::teaching
