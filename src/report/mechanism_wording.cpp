// SPDX-License-Identifier: Apache-2.0
#include "src/report/mechanism_wording.h"

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

std::string movements(const EyeExamination& eye) {
    std::vector<std::string> out;
    for (const Movement m : all_movements) {
        const MovementFinding& f = eye.of(m);
        std::vector<std::string> told = tests_in_words(f);
        if (!f.range && told.empty()) continue;
        told.insert(told.begin(), f.range ? say("movement.with_range", {{"movement", in_words(m)}, {"range", in_words(*f.range)}}) : in_words(m));
        out.push_back(joined(told, ", "));
    }
    for (const SlitLampSign s : eye.slit_lamp) out.push_back(say("slit_lamp.sign", {{"sign", in_words(s)}}));
    return joined(out, "; ");
}

std::string deviation(const Deviation& d) {
    std::vector<std::string> out;
    const auto add = [&](const std::string& words, const std::optional<double>& prisms) {
        out.push_back(prisms ? say("deviation.with_size", {{"deviation", words}, {"prisms", fixed(*prisms, 0)}}) : words);
    };
    if (d.horizontal) add(in_words(*d.horizontal), d.horizontal_prism_dioptres);
    if (d.vertical) add(in_words(*d.vertical), d.vertical_prism_dioptres);
    if (d.torsion) add(in_words(*d.torsion), std::nullopt);
    return joined(out, ", ");
}

}  // namespace

std::string fit_in_words(Fit fit) {
    switch (fit) {
        case Fit::fits: return say("fit.fits");
        case Fit::does_not_fit: return say("fit.does_not_fit");
        case Fit::not_told: break;
    }
    return say("fit.not_told");
}

std::string findings_in_words(const ReportModel& model) {
    if (!model.examination) return say("examination.not_given");
    const Examination& told = *model.examination;
    std::vector<std::string> sentences;
    if (const std::string words = deviation(told.deviation); !words.empty()) sentences.push_back(say("examination.primary_position", {{"deviation", words}}));
    for (const Eye eye : both_eyes)
        if (const std::string words = movements(told.eye(eye)); !words.empty()) sentences.push_back(say("examination.of_eye", {{"side", side_in_words(eye)}, {"findings", words}}));
    std::vector<std::string> complaints;
    for (const Symptom s : told.symptoms) complaints.push_back(in_words(s));
    if (!complaints.empty()) sentences.push_back(say("examination.complaints", {{"complaints", joined(complaints, ", ")}}));
    const std::string findings = sentences.empty() ? say("examination.none") : joined(sentences, " ");
    return told.examined_on ? say("examination.given_of_date", {{"date", told.examined_on->iso()}, {"findings", findings}}) : say("examination.given", {{"findings", findings}});
}

}  // namespace perisclera::report
