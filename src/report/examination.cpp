// SPDX-License-Identifier: Apache-2.0
// Reads the examiner's findings: strict, since a misspelt word would otherwise silently count as "not told".
#include "perisclera/report/examination.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

namespace perisclera::report {

namespace {

using Json = nlohmann::json;

// The words of each set, in the order of its enumerators.
constexpr std::array<std::string_view, 6> movement_words{"elevation", "depression", "adduction", "abduction", "elevation_in_adduction", "depression_in_adduction"};
constexpr std::array<std::string_view, 2> range_words{"full", "limited"};
constexpr std::array<std::string_view, 2> forced_words{"free", "restricted"};
constexpr std::array<std::string_view, 2> force_words{"normal", "reduced"};
constexpr std::array<std::string_view, 6> slit_lamp_words{"element_not_seen", "element_seen_through_conjunctiva", "conjunctiva_raised", "element_exposed", "redness", "discharge"};
constexpr std::array<std::string_view, 3> horizontal_words{"none", "esotropia", "exotropia"};
constexpr std::array<std::string_view, 3> vertical_words{"none", "right_eye_higher", "left_eye_higher"};
constexpr std::array<std::string_view, 3> torsion_words{"none", "excyclotorsion", "incyclotorsion"};
constexpr std::array<std::string_view, 8> symptom_words{"none", "double_vision", "pain", "redness", "swelling", "foreign_body_sensation", "discharge", "reduced_vision"};

template <std::size_t N, class Term>
std::string_view word(const std::array<std::string_view, N>& words, Term term) {
    return words.at(static_cast<std::size_t>(term));
}

constexpr auto hint = "see docs/findings.schema.json for the members and their words";

/// The first thing wrong; later ones are not told.
class Problem {
public:
    void note(const std::string& path, const std::string& what) {
        if (!first_) first_ = Error{ErrorCode::bad_findings, (path.empty() ? "the file " : "\"" + path + "\" ") + what, "findings file", hint};
    }
    [[nodiscard]] const std::optional<Error>& first() const { return first_; }

private:
    std::optional<Error> first_;
};

/// One object of the file, whose members are all asked for before done() is called.
class Members {
public:
    Members(const Json* json, std::string path, Problem& problem) : json_(json), path_(std::move(path)), problem_(problem) {
        if (json_ != nullptr && !json_->is_object()) {
            problem_.note(path_, "must be an object");
            json_ = nullptr;
        }
    }
    const Json* find(std::string_view key) {
        asked_.emplace(key);
        if (json_ == nullptr) return nullptr;
        const auto at = json_->find(key);
        return at == json_->end() ? nullptr : &*at;
    }
    [[nodiscard]] std::string path_of(std::string_view key) const { return path_ + (path_.empty() ? "" : ".") + std::string(key); }
    Members object(std::string_view key) { return {find(key), path_of(key), problem_}; }

    template <class Term, std::size_t N>
    std::optional<Term> term(std::string_view key, const std::array<std::string_view, N>& words) {
        const Json* json = find(key);
        return json == nullptr ? std::nullopt : read<Term>(*json, path_of(key), words);
    }
    template <class Term, std::size_t N>
    std::vector<Term> terms(std::string_view key, const std::array<std::string_view, N>& words) {
        std::vector<Term> all;
        const Json* json = find(key);
        if (json == nullptr) return all;
        if (!json->is_array()) problem_.note(path_of(key), "must be a list of words");
        else
            for (const Json& item : *json) {
                const std::optional<Term> one = read<Term>(item, path_of(key), words);
                if (one && std::find(all.begin(), all.end(), *one) != all.end()) problem_.note(path_of(key), "names one thing twice");
                if (one) all.push_back(*one);
            }
        return all;
    }
    std::optional<double> number(std::string_view key, double low, double high) {
        const Json* json = find(key);
        if (json == nullptr) return std::nullopt;
        if (json->is_number() && json->get<double>() >= low && json->get<double>() <= high) return json->get<double>();
        problem_.note(path_of(key), "must be a number from " + std::to_string(static_cast<int>(low)) + " to " + std::to_string(static_cast<int>(high)));
        return std::nullopt;
    }
    void done() {
        if (json_ == nullptr) return;
        for (const auto& [key, value] : json_->items())
            if (!asked_.contains(key)) problem_.note(path_, "has an unknown member");
    }
    Problem& problem() { return problem_; }

private:
    template <class Term, std::size_t N>
    std::optional<Term> read(const Json& json, const std::string& path, const std::array<std::string_view, N>& words) {
        if (json.is_string()) {
            const auto at = std::find(words.begin(), words.end(), json.get_ref<const std::string&>());
            if (at != words.end()) return static_cast<Term>(at - words.begin());
        }
        std::string allowed;
        for (const std::string_view w : words) allowed += (allowed.empty() ? "" : ", ") + std::string(w);
        problem_.note(path, "must be one of " + allowed);
        return std::nullopt;
    }

    const Json* json_;
    std::string path_;
    Problem& problem_;
    std::set<std::string, std::less<>> asked_;
};

EyeExamination read_eye(Members eye) {
    EyeExamination out;
    Members ductions = eye.object("ductions");
    for (const Movement m : all_movements) {
        Members one = ductions.object(name(m));
        out.movements[static_cast<std::size_t>(m)] = {one.term<MovementRange>("range", range_words), one.term<ForcedDuction>("forced_duction", forced_words),
                                                      one.term<ForceGeneration>("force_generation", force_words)};
        one.done();
    }
    ductions.done();
    out.slit_lamp = eye.terms<SlitLampSign>("slit_lamp", slit_lamp_words);
    if (out.slit_lamp.size() > 1 && std::find(out.slit_lamp.begin(), out.slit_lamp.end(), SlitLampSign::element_not_seen) != out.slit_lamp.end())
        for (const SlitLampSign seen : {SlitLampSign::element_exposed, SlitLampSign::element_seen_through_conjunctiva})
            if (std::find(out.slit_lamp.begin(), out.slit_lamp.end(), seen) != out.slit_lamp.end()) eye.problem().note(eye.path_of("slit_lamp"), "says both that the element is seen and that it is not");
    eye.done();
    return out;
}

Deviation read_deviation(Members deviation) {
    Deviation out;
    constexpr double most = 150.0;
    out.horizontal = deviation.term<HorizontalDeviation>("horizontal", horizontal_words);
    out.horizontal_prism_dioptres = deviation.number("horizontal_prism_dioptres", 0.0, most);
    out.vertical = deviation.term<VerticalDeviation>("vertical", vertical_words);
    out.vertical_prism_dioptres = deviation.number("vertical_prism_dioptres", 0.0, most);
    out.torsion = deviation.term<Torsion>("torsion", torsion_words);
    deviation.done();
    return out;
}

/// The text as JSON, or nothing: also where a member stands twice in one object, since nothing tells which is meant, or it nests deeper than the format does.
std::optional<Json> strictly_parsed(std::string_view text) {
    constexpr int deepest = 8;
    bool sound = true;
    std::vector<std::set<std::string>> open;
    const Json::parser_callback_t watch = [&](int depth, Json::parse_event_t event, Json& parsed) {
        if (event == Json::parse_event_t::object_start) open.emplace_back();
        if (event == Json::parse_event_t::object_end && !open.empty()) open.pop_back();
        if (event == Json::parse_event_t::key && !open.empty()) sound = open.back().insert(parsed.get<std::string>()).second && sound;
        sound = sound && depth <= deepest;
        return sound;
    };
    Json json = Json::parse(text, watch, false);
    if (!sound || json.is_discarded()) return std::nullopt;
    return json;
}

}  // namespace

std::string_view name(Movement t) { return word(movement_words, t); }
std::string_view name(MovementRange t) { return word(range_words, t); }
std::string_view name(ForcedDuction t) { return word(forced_words, t); }
std::string_view name(ForceGeneration t) { return word(force_words, t); }
std::string_view name(SlitLampSign t) { return word(slit_lamp_words, t); }
std::string_view name(HorizontalDeviation t) { return word(horizontal_words, t); }
std::string_view name(VerticalDeviation t) { return word(vertical_words, t); }
std::string_view name(Torsion t) { return word(torsion_words, t); }
std::string_view name(Symptom t) { return word(symptom_words, t); }

Result<Examination> parse_examination(std::string_view text) {
    Problem problem;
    const std::optional<Json> json = strictly_parsed(text);
    if (!json) {
        problem.note("", "is not JSON, names a member twice or nests too deep");
        return *problem.first();
    }
    Members top(&*json, "", problem);
    const Json *format = top.find("format"), *version = top.find("format_version");
    if (format == nullptr || *format != "perisclera-findings") problem.note("format", "must be perisclera-findings");
    if (version == nullptr || *version != 1) problem.note("format_version", "must be 1");
    Examination out;
    if (const Json* date = top.find("examined_on")) {
        std::string digits = date->is_string() ? date->get<std::string>() : "";
        const bool dashed = digits.size() == 10 && digits[4] == '-' && digits[7] == '-';
        std::erase(digits, '-');
        const auto read = StudyDate::from_dicom(digits);
        if (dashed && digits.size() == 8 && read) out.examined_on = read.value();
        else problem.note("examined_on", "must be a date YYYY-MM-DD");
    }
    out.deviation = read_deviation(top.object("deviation"));
    out.symptoms = top.terms<Symptom>("symptoms", symptom_words);
    if (out.symptoms.size() > 1 && std::find(out.symptoms.begin(), out.symptoms.end(), Symptom::none) != out.symptoms.end()) problem.note("symptoms", "says none and names some");
    for (const Eye eye : both_eyes) out.eye(eye) = read_eye(top.object(name(eye)));
    if (const Json* note = top.find("note"); note != nullptr && !note->is_string()) problem.note("note", "must be text");
    top.done();
    if (problem.first()) return *problem.first();
    return out;
}

}  // namespace perisclera::report
