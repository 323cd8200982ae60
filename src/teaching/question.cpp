// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/question.h"

#include <algorithm>
#include <random>

#include "perisclera/core/text.h"
#include "perisclera/report/eye_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::teaching {

namespace {

using namespace report;

// Keys of the choices that can be right.
constexpr const char *solid = "question.solid", *sponge = "question.sponge", *hydrogel = "question.hydrogel", *nothing = "question.nothing", *unsettled = "question.unsettled";
constexpr const char *ct = "question.ct", *t1 = "question.t1", *t2 = "question.t2", *second_energy = "question.second_energy", *settled = "question.settled";
constexpr const char* swells = "question.swells";

Choice choice(const char* key, const char* lookalike_key) { return {say(key), say(lookalike_key)}; }

std::vector<Choice> structures() {
    return {choice(solid, "question.solid_shows"),
            choice(sponge, "question.sponge_shows"),
            choice(hydrogel, "question.hydrogel_shows"),
            choice(nothing, "question.nothing_shows"),
            choice(unsettled, "question.unsettled_shows"),
            choice("question.drainage_device", "question.drainage_device_shows"),
            choice("question.plaques", "question.plaques_show")};
}

std::vector<Question> unordered() {
    std::vector<Question> all;
    for (const Eye eye : both_eyes) all.push_back({"", say("question.round_the_eye", {{"eye", in_words(eye)}}), structures()});
    all.push_back({"", say("question.next_examination"),
                   {choice(ct, "question.ct_tells"),
                    choice(t1, "question.t1_tells"),
                    choice(t2, "question.t2_tells"),
                    choice(second_energy, "question.second_energy_tells"),
                    choice(settled, "question.settled_when")}});
    all.push_back({"", say("question.larger_than_before"),
                   {choice(swells, "question.swells_why"),
                    choice("question.denser", "question.denser_why"),
                    choice("question.enhances", "question.enhances_why"),
                    choice("question.darker", "question.darker_why")}});
    for (std::size_t k = 0; k < all.size(); ++k) all[k].id = "Q" + std::to_string(k + 1);
    return all;
}

const char* choice_of(const MaterialEntry& material) {
    if (!material.label) return unsettled;
    switch (*material.label) {
        case Material::solid_silicone: return solid;
        case Material::silicone_sponge: return sponge;
        case Material::hydrogel: return hydrogel;
        case Material::other: return unsettled;
    }
    return unsettled;
}

const char* choice_of(NextStudy next) {
    switch (next) {
        case NextStudy::ct: return ct;
        case NextStudy::t1: return t1;
        case NextStudy::t2: return t2;
        case NextStudy::second_ct_energy: return second_energy;
        case NextStudy::none: return settled;
    }
    return settled;
}

std::string evidence_in_words(const ElementEntry& element) {
    std::string readings;
    for (const Evidence& e : element.material.evidence) {
        const auto* value = e.measured.measured();
        if (value == nullptr) continue;
        const int decimals = e.unit == "HU" ? 0 : e.unit == "ratio" ? 2 : 1;
        const auto text = [&](StatedQuantity q) { return fixed(q.value(), decimals); };
        readings += (readings.empty() ? "" : "; ") + say("solution.reading", {{"quantity", e.quantity}, {"value", text(value->value())}, {"unit", e.unit}, {"low", text(value->low())}, {"high", text(value->high())}});
    }
    const std::string told = say("solution.element", {{"element", element.id}, {"material", label_in_words(element.material)}});
    return readings.empty() ? told : say("solution.readings", {{"element", told}, {"readings", readings}});
}

struct Right {
    std::vector<std::string> choices;   ///< their keys
    std::string why;
};

Right right_for_eye(const ReportModel& model, Eye eye) {
    const Timepoint* visit = current_visit(model, eye);
    if (visit == nullptr) return {{nothing}, say("solution.eye_not_shown")};
    Right right;
    for (const ElementEntry& element : visit->eye(eye).elements) {
        right.choices.emplace_back(choice_of(element.material));
        right.why += (right.why.empty() ? "" : " ") + evidence_in_words(element);
    }
    if (right.choices.empty())
        return {{nothing}, say("solution.nothing_found", {{"limit", detection_limit(visit->eye(eye).explant, true)}})};
    return right;
}

Right right_next(const ReportModel& model) {
    Right right;
    for (const Eye eye : both_eyes)
        if (const Timepoint* visit = current_visit(model, eye))
            for (const ElementEntry& element : visit->eye(eye).elements) {
                right.choices.emplace_back(choice_of(element.material.most_informative_next));
                right.why += (right.why.empty() ? "" : " ") + say("solution.next", {{"element", element.id}, {"next", next_study_in_words(element.material)}});
            }
    if (right.choices.empty()) return {{choice_of(NextStudy::none)}, say("solution.no_material")};
    return right;
}

}  // namespace

std::vector<Question> questions(std::uint64_t seed) {
    std::vector<Question> all = unordered();
    std::mt19937_64 drawn(seed);
    // Fisher and Yates by hand: what std::shuffle draws differs between libraries.
    for (Question& q : all)
        for (std::size_t k = q.choices.size(); k > 1; --k) std::swap(q.choices[k - 1], q.choices[static_cast<std::size_t>(drawn() % k)]);
    return all;
}

std::vector<AnswerKey> answer_keys(const std::vector<Question>& asked, const ReportModel& model) {
    const std::vector<Right> rights{right_for_eye(model, Eye::right), right_for_eye(model, Eye::left), right_next(model),
                                    {{swells}, say("solution.one_story")}};
    std::vector<AnswerKey> keys;
    for (std::size_t q = 0; q < asked.size(); ++q) {
        AnswerKey key{{}, rights[q].why};
        for (std::size_t c = 0; c < asked[q].choices.size(); ++c)
            if (std::any_of(rights[q].choices.begin(), rights[q].choices.end(), [&](const std::string& right) { return say(right) == asked[q].choices[c].text; })) key.right.push_back(c);
        keys.push_back(std::move(key));
    }
    return keys;
}

}  // namespace perisclera::teaching
