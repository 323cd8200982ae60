// SPDX-License-Identifier: Apache-2.0
#include "src/report/mechanism_wording.h"

#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string movements(const EyeExamination& eye) {
    std::string out;
    for (const Movement m : all_movements) {
        const MovementFinding& f = eye.of(m);
        std::string words;
        if (f.range) words += " " + std::string(name(*f.range));
        if (f.forced) words += ", forced duction " + std::string(name(*f.forced));
        if (f.force) words += ", force generation " + std::string(name(*f.force));
        if (!words.empty()) out += (out.empty() ? "" : "; ") + spaced(name(m)) + words;
    }
    for (const SlitLampSign s : eye.slit_lamp) out += (out.empty() ? "slit lamp: " : "; slit lamp: ") + spaced(name(s));
    return out;
}

std::string deviation(const Deviation& d) {
    std::string out;
    const auto add = [&](std::string_view words, const std::optional<double>& prisms) {
        out += (out.empty() ? "" : ", ") + spaced(words) + (prisms ? " " + fixed(*prisms, 0) + " prism dioptres" : "");
    };
    if (d.horizontal) add(*d.horizontal == HorizontalDeviation::none ? "no horizontal deviation" : name(*d.horizontal), d.horizontal_prism_dioptres);
    if (d.vertical) add(*d.vertical == VerticalDeviation::none ? "no vertical deviation" : name(*d.vertical), d.vertical_prism_dioptres);
    if (d.torsion) add(*d.torsion == Torsion::none ? "no torsion" : name(*d.torsion), std::nullopt);
    return out;
}

}  // namespace

std::string fit_in_words(Fit fit) {
    switch (fit) {
        case Fit::fits: return "Fits.";
        case Fit::does_not_fit: return "Does not fit.";
        case Fit::not_told: break;
    }
    return "Not told.";
}

std::string findings_in_words(const ReportModel& model) {
    if (!model.examination) return "No findings of an examiner were given to this run, so nothing is said of which mechanism is at work.";
    const Examination& told = *model.examination;
    std::string words = "Findings as the examiner gave them" + (told.examined_on ? " (" + told.examined_on->iso() + ")" : "") + ":";
    bool any = false;
    const auto add = [&](const std::string& head, const std::string& tail) {
        if (tail.empty()) return;
        words += " " + head + tail + ".";
        any = true;
    };
    add("In primary position ", deviation(told.deviation));
    for (const Eye eye : both_eyes) add(eye == Eye::right ? "Right eye: " : "Left eye: ", movements(told.eye(eye)));
    std::string complaints;
    for (const Symptom s : told.symptoms) complaints += (complaints.empty() ? "" : ", ") + spaced(name(s));
    add("Complaints: ", complaints);
    return (any ? words : words + " none.") + " What was not told speaks neither for nor against.";
}

}  // namespace perisclera::report
