// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/question.h"

#include <algorithm>
#include <random>

#include "perisclera/report/wording.h"

namespace perisclera::teaching {

namespace {

using namespace report;

constexpr const char *solid = "A solid silicone element", *sponge = "A silicone sponge", *hydrogel = "A hydrogel explant (a polymer that takes up water)", *nothing = "No explant that these images show",
                     *unsettled = "Something is there, but these images do not settle what";

std::vector<Choice> structures() {
    return {{solid, "Brighter than muscle on CT; dark on T1 and on T2."},
            {sponge, "Holds gas: far below water on CT; without signal on T1 and T2, as a void of any cause is."},
            {hydrogel, "Swollen with water: near water or muscle on CT, bright on T2; easily taken for a cyst, an abscess or a mass."},
            {nothing, "The fellow eye shows what is normal in this patient; a thin band may be missed."},
            {unsettled, "Right where the evidence leaves more than one material."},
            {"A drainage device for glaucoma", "A plate of silicone or plastic, as a rule upper temporal, with a tube that leads into the eye and a pool of fluid over it (common practice, no source)."},
            {"Calcified scleral plaques of age", "Small, far denser than silicone, just before the insertions of the horizontal recti (common practice, no source)."}};
}

std::vector<Question> unordered() {
    std::vector<Question> all;
    for (const Eye eye : both_eyes) all.push_back({"", "What lies round the " + std::string(name(eye)) + " eye?", structures()});
    all.push_back({"", "Which further examination would tell most about the material?",
                   {{"CT", "Solid silicone, sponge and hydrogel differ most in CT number."},
                    {"T1-weighted MR", "Both silicones are dark; water is dark as well, so it seldom tells alone."},
                    {"T2-weighted MR", "Water of a hydrogel is bright, silicone is not."},
                    {"CT at a second tube voltage", "Silicon absorbs low energies strongly: silicones fall steeply with the voltage, hydrogels do not."},
                    {"None: these images settle it", "Right where no scan would change the opinion, or nothing was found."}}});
    all.push_back({"", "A buckle of unknown make looks larger than at an earlier date. Which finding speaks for a swelling hydrogel rather than for a mass of another kind?",
                   {{"Its CT number falls and its T2 signal rises while it grows", "Taking up water does both at once; growth without it contradicts swelling."},
                    {"Its CT number rises while it grows", "Calcification or blood does that; water does not."},
                    {"It enhances as a whole after contrast agent", "No explant has vessels: an element that enhances throughout is none, while the capsule round it may (common practice, no source)."},
                    {"It becomes darker on T2 while it grows", "The opposite of water taken up."}}});
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
        case NextStudy::ct: return "CT";
        case NextStudy::t1: return "T1-weighted MR";
        case NextStudy::t2: return "T2-weighted MR";
        case NextStudy::second_ct_energy: return "CT at a second tube voltage";
        case NextStudy::none: return "None: these images settle it";
    }
    return "None: these images settle it";
}

std::string evidence_in_words(const ElementEntry& element) {
    std::string out = element.id + ": " + label_in_words(element.material) + ".";
    for (const Evidence& e : element.material.evidence) {
        const auto* value = e.measured.measured();
        if (value == nullptr) continue;
        out += " " + e.quantity + " " + fixed(value->value().value(), 2) + " " + e.unit + " (95 % interval " + fixed(value->low().value(), 2) + " to " + fixed(value->high().value(), 2) + ").";
    }
    return out;
}

struct Right {
    std::vector<std::string> choices;
    std::string why;
};

Right right_for_eye(const ReportModel& model, Eye eye) {
    const Timepoint* visit = current_visit(model, eye);
    if (visit == nullptr) return {{nothing}, "No image shows this eye."};
    Right right;
    for (const ElementEntry& element : visit->eye(eye).elements) {
        right.choices.emplace_back(choice_of(element.material));
        right.why += (right.why.empty() ? "" : " ") + evidence_in_words(element);
    }
    if (right.choices.empty())
        return {{nothing}, "Nothing was found; not found is not absent. " + detection_limit(visit->eye(eye).explant, true)};
    return right;
}

Right right_next(const ReportModel& model) {
    Right right;
    for (const Eye eye : both_eyes)
        if (const Timepoint* visit = current_visit(model, eye))
            for (const ElementEntry& element : visit->eye(eye).elements) {
                right.choices.emplace_back(choice_of(element.material.most_informative_next));
                right.why += (right.why.empty() ? "" : " ") + element.id + ": " + next_study_in_words(element.material);
            }
    if (right.choices.empty()) return {{choice_of(NextStudy::none)}, "No element was found, so that there is no material to tell."};
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
                                    {{"Its CT number falls and its T2 signal rises while it grows"}, "Water taken up lowers the CT number towards that of water and brightens T2; volume, CT number and T2 must tell one story."}};
    std::vector<AnswerKey> keys;
    for (std::size_t q = 0; q < asked.size(); ++q) {
        AnswerKey key{{}, rights[q].why};
        for (std::size_t c = 0; c < asked[q].choices.size(); ++c)
            if (std::find(rights[q].choices.begin(), rights[q].choices.end(), asked[q].choices[c].text) != rights[q].choices.end()) key.right.push_back(c);
        keys.push_back(std::move(key));
    }
    return keys;
}

}  // namespace perisclera::teaching
