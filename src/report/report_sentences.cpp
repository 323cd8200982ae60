// SPDX-License-Identifier: Apache-2.0
#include "src/report/report_sentences.h"

#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string element_in_brief(const ReportModel& model, const Timepoint& visit, const ElementEntry& e, Eye eye) {
    std::string words = e.id + ", " + std::string(name(e.form)) + ", " + place_in_words(e, eye) + ", " + label_with_probability(e.material) + ", volume " + in_words(e.volume);
    for (const Change& c : model.changes)
        if (c.eye == eye && c.element == e.id && c.to == visit.id) words += ", " + verdict_in_words(c.verdict);
    return words;
}

std::string series_in_brief(const SeriesEntry& s, const SeriesLabels& labels) {
    const auto at = labels.find(s.series_uid);
    std::string words = (at == labels.end() ? "" : at->second + " ") + in_words(s.role, s.modality), more;
    if (s.kvp) more = fixed(*s.kvp, 0) + " kV";
    if (s.used && s.spacing) more += (more.empty() ? "" : ", ") + std::string("voxel ") + fixed((*s.spacing)[0].value(), 2) + " × " + fixed((*s.spacing)[1].value(), 2) + " × " + fixed((*s.spacing)[2].value(), 2) + " mm";
    return words + (more.empty() ? "" : " (" + more + ")");
}

}  // namespace

std::array<std::string, 2> answer(const ReportModel& model) {
    std::array<std::string, 2> out;
    for (const Eye eye : both_eyes) {
        std::string words = finding(model, eye).headline;
        const Timepoint* visit = current_visit(model, eye);
        if (visit != nullptr && !was_left_out(model, eye)) {
            const EyeEntry& seen = visit->eye(eye);
            if (!seen.elements.empty()) words += ", " + probability_in_words(seen.explant.probability);
            for (const ElementEntry& e : seen.elements) words += (&e == &seen.elements.front() ? ": " : "; ") + element_in_brief(model, *visit, e, eye);
            if (seen.elements.empty() && seen.globe.status == GlobeStatus::found) words += ", explant " + probability_in_words(seen.explant.probability);
        }
        out[eye == Eye::right ? 0 : 1] = words + ".";
    }
    return out;
}

std::string clinical_context(const ReportModel& model) {
    return std::string("Date of the surgery, operation record and known material: not given to this run.") +
           (model.examination ? " An examiner's findings were given; they stand under \"Mechanisms to separate\"." : " No findings of an examiner were given.");
}

std::vector<std::string> technique(const ReportModel& model, const SeriesLabels& labels) {
    std::vector<std::string> out;
    for (const Timepoint& t : model.timepoints) {
        std::string used, unused;
        for (const SeriesEntry& s : t.series) {
            std::string& list = s.used ? used : unused;
            list += (list.empty() ? "" : "; ") + series_in_brief(s, labels);
        }
        out.push_back(t.study_date.iso() + ", used: " + (used.empty() ? "nothing" : used) + (unused.empty() ? "" : ". Not used: " + unused) + ".");
    }
    return out;
}

std::string comparison(const ReportModel& model) {
    if (model.timepoints.size() < 2) return "No images of another date were given.";
    std::string dates;
    for (std::size_t k = 0; k + 1 < model.timepoints.size(); ++k) dates += (k == 0 ? "" : ", ") + model.timepoints[k].study_date.iso();
    return "Images of " + model.timepoints.back().study_date.iso() + " with those of " + dates + ".";
}

std::vector<std::string> limits(const ReportModel& model) {
    std::vector<std::string> out;
    for (const Eye eye : both_eyes) {
        const Timepoint* visit = current_visit(model, eye);
        if (visit == nullptr || visit->eye(eye).globe.status != GlobeStatus::found) continue;
        const EyeEntry& seen = visit->eye(eye);
        out.push_back((eye == Eye::right ? "Right eye: " : "Left eye: ") + std::string(seen.elements.empty() ? "" : "beside what is reported, ") + detection_limit(seen.explant, seen.elements.empty()));
    }
    const std::vector<std::string> always{
        "An explant that was not found is not thereby absent, and a denied operation does not exclude an explant. Presence speaks of explants for retinal detachment only.",
        "Scleral thickness beneath the element cannot be judged on this scan. Retina and choroid were not assessed.",
        "Thickness (outward) is the largest radial distance between an element's inner and outer face, the part that indents the eye included; indentation (buckle height, inward) is how deep the wall is "
        "pressed in, and is given apart.",
        "Clock hours are an examiner's who faces the patient: 12 is superior, 3 is nasal in the right eye and temporal in the left.",
        "Distances from the limbus are arcs along the outer sclera; straight (caliper) distances are given beside them and are shorter.",
        "Axial length runs from the front of the cornea to the outer sclera; optical biometry ends at the retina and reads about 1 mm less.",
        "A 95 % interval is meant to hold the true value in 95 of 100 such measurements. It does not cover a mistaken identification.",
        probability_scale_in_words()};
    out.insert(out.end(), always.begin(), always.end());
    return out;
}

std::string impression_note() { return "This is unverified machine output. What follows from it is for the physicians to say who know the patient, the operation record and the images."; }

}  // namespace perisclera::report
