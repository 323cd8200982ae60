// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/question_record.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "perisclera/report/wording.h"
#include "record_json.h"

namespace perisclera::teaching {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* format = "perisclera-teaching-question";

QuestionRecord read(const Json& json) {
    QuestionRecord record{json.at("simulated").get<bool>(), json.at("history").get<std::string>(), {}, {}};
    for (const Json& p : json.at("pictures")) {
        const auto eye = eye_named(p.at("eye").get<std::string>());
        record.pictures.push_back({p.at("date").get<std::string>(), eye.value_or(Eye::right), p.at("series").get<int>(), p.at("shows").get<std::string>(), p.at("plane").get<std::string>()});
    }
    for (const Json& q : json.at("questions")) {
        Question question{q.at("id").get<std::string>(), q.at("text").get<std::string>(), {}};
        for (const Json& choice : q.at("choices")) question.choices.push_back({choice.get<std::string>(), ""});
        record.asked.push_back(std::move(question));
    }
    return record;
}

}  // namespace

std::string question_picture_path(std::size_t number) { return "images/" + std::string(number < 10 ? "0" : "") + std::to_string(number) + ".png"; }

QuestionRecord question_record(const report::ReportModel& model, const std::vector<report::KeyImage>& images, const std::string& history, std::uint64_t seed) {
    QuestionRecord record{model.simulated, history, {}, questions(seed)};
    for (Question& question : record.asked)
        for (Choice& choice : question.choices) choice.lookalike.clear();
    std::vector<std::string> series;   // in the order shown
    for (const report::KeyImage& image : images) {
        const auto visit = std::find_if(model.timepoints.begin(), model.timepoints.end(), [&](const report::Timepoint& t) { return t.id == image.timepoint_id; });
        const auto of_series = [&](const report::SeriesEntry& s) { return s.series_uid == image.series_uid; };
        const auto entry = std::find_if(visit->series.begin(), visit->series.end(), of_series);
        if (std::find(series.begin(), series.end(), image.series_uid) == series.end()) series.push_back(image.series_uid);
        const auto number = std::find(series.begin(), series.end(), image.series_uid) - series.begin() + 1;
        record.pictures.push_back({visit->study_date.iso(), image.eye, static_cast<int>(number), report::in_words(entry->role, entry->modality), image.plane});
    }
    return record;
}

std::string to_json(const QuestionRecord& record) {
    Json json{{"format", format}, {"format_version", record_version}, {"simulated", record.simulated}, {"history", record.history}, {"pictures", Json::array()}, {"questions", Json::array()}};
    for (const QuestionPicture& p : record.pictures)
        json["pictures"].push_back({{"date", p.date}, {"eye", name(p.eye)}, {"series", p.series}, {"shows", p.shows}, {"plane", p.plane}});
    for (const Question& q : record.asked) {
        Json choices = Json::array();
        for (const Choice& c : q.choices) choices.push_back(c.text);
        json["questions"].push_back({{"id", q.id}, {"text", q.text}, {"choices", std::move(choices)}});
    }
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<QuestionRecord> parse_question(std::string_view text) {
    try {
        const Json json = Json::parse(text);
        if (const auto wrong = wrong_head(json, format)) return *wrong;
        QuestionRecord record = read(json);
        if (record.pictures.empty() || record.asked.empty()) return record_refused("the case has no pictures or no questions");
        return record;
    } catch (const Json::exception&) {
        return record_refused("a file of the case cannot be read");
    }
}

}  // namespace perisclera::teaching
