// SPDX-License-Identifier: Apache-2.0
#include "src/report/explanation.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "perisclera/core/text.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"
#include "src/report/reading_wording.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

/// "solid silicone, silicone sponge and hydrogel".
std::string listed(const std::vector<Material>& materials) {
    if (materials.size() < 2) return in_words(materials);
    return say("explanation.last_of_materials", {{"materials", in_words(std::vector(materials.begin(), materials.end() - 1))}, {"last", in_words(materials.back())}});
}

std::string reading_sentence(const Evidence& e, const SeriesLabels& labels) {
    const std::string series = series_in_words(e.series_uid, e.role, modality_of(e), labels), measured = measured_in_words(e);
    const Speaks says = speaks(e);
    const std::string in_favour = listed(says.in_favour);
    if (says.in_favour.empty()) return say("explanation.reading_not_weighed", {{"series", series}, {"quantity", e.quantity}, {"measured", measured}});
    if (!says.separates) return say("explanation.reading_does_not_separate", {{"series", series}, {"quantity", e.quantity}, {"measured", measured}});
    if (says.against.empty()) return say("explanation.reading_for", {{"series", series}, {"quantity", e.quantity}, {"measured", measured}, {"materials", in_favour}});
    return say("explanation.reading_for_and_against", {{"series", series}, {"quantity", e.quantity}, {"measured", measured}, {"materials", in_favour}, {"others", listed(says.against)}});
}

std::vector<std::string> together(const MaterialEntry& m) {
    if (!m.label) return {say("explanation.together", {{"material", label_in_words(m)}}), say("explanation.below_margin", {{"margin", percent_in_words(label_margin)}})};
    std::vector<std::string> open;
    for (const Material c : m.candidates)
        if (c != *m.label) open.push_back(say("material.with_probability", {{"material", in_words(c)}, {"probability", probability_in_words(m.probabilities[c])}}));
    return {say("explanation.together", {{"material", label_with_probability(m)}}),
            open.empty() ? say("explanation.nothing_open") : say("explanation.remains_open", {{"materials", joined(open, "; ")}})};
}

PartOfJudgement judgement_of(const MaterialEntry& m) { return {m.label, m.candidates}; }

std::string in_words(const PartOfJudgement& p) { return p.label ? in_words(*p.label) : say("explanation.undetermined", {{"materials", in_words(p.candidates)}}); }

std::optional<Material> likeliest(const PartOfJudgement& p) {
    if (p.label) return p.label;
    return p.candidates.empty() ? std::nullopt : std::optional(p.candidates.front());
}

bool holds(const PartOfJudgement& p, Material m) { return p.label == m || (!p.label && std::find(p.candidates.begin(), p.candidates.end(), m) != p.candidates.end()); }

bool differ(PartOfJudgement a, PartOfJudgement b) {
    std::sort(a.candidates.begin(), a.candidates.end());
    std::sort(b.candidates.begin(), b.candidates.end());
    return a.label != b.label || a.candidates != b.candidates;
}

/// What the whole makes likelier than the part did, against what it makes less likely.
struct Contest {
    Material one, other;
};
std::optional<Contest> contest(const PartOfJudgement& part, const PartOfJudgement& whole) {
    const auto now = likeliest(whole), then = likeliest(part);
    if (!now || !then) return std::nullopt;
    if (*now != *then) return Contest{*now, *then};
    for (const Material m : all_materials)
        if (m != *now && holds(part, m) && !holds(whole, m)) return Contest{*now, m};
    for (const Material m : all_materials)
        if (m != *now && holds(whole, m) && !holds(part, m)) return Contest{m, *now};
    return std::nullopt;
}

/// The reading among those that `counts` picks which tells the one from the other most, `already` taken off; empty where none does by more than a factor of 3.
std::string deciding_reading(const MaterialEntry& material, const Contest& c, const SeriesLabels& labels, const std::function<bool(const Evidence&)>& counts,
                             const std::function<double(const Evidence&)>& already) {
    const Evidence* best = nullptr;
    double most = std::log(3.0);
    for (const Evidence& e : material.evidence) {
        const auto ratio = log_ratio(e, c.one, c.other);
        if (!ratio || !counts(e) || *ratio - already(e) <= most) continue;
        most = *ratio - already(e);
        best = &e;
    }
    if (best == nullptr) return "";
    const double factor = std::exp(*log_ratio(*best, c.one, c.other));
    return say("explanation.decides", {{"one", in_words(c.one)}, {"other", in_words(c.other)}, {"series", series_in_words(best->series_uid, best->role, modality_of(*best), labels)},
                                       {"quantity", best->quantity}, {"factor", factor > 1000.0 ? say("explanation.over_thousand") : fixed(factor, factor < 10.0 ? 1 : 0)}});
}

double nothing_already(const Evidence&) { return 0.0; }

/// What one modality alone would have said, where that is something else; empty otherwise.
std::vector<std::string> by_one_modality(const MaterialEntry& m, const std::optional<PartOfJudgement>& part, Modality modality, const SeriesLabels& labels) {
    const PartOfJudgement whole = judgement_of(m);
    if (!part || !differ(*part, whole)) return {};
    std::vector<std::string> out{say(modality == Modality::ct ? "explanation.by_ct_alone" : "explanation.by_mr_alone", {{"material", in_words(*part)}})};
    if (const auto c = contest(*part, whole))
        if (std::string decides = deciding_reading(m, *c, labels, [&](const Evidence& e) { return modality_of(e) != modality; }, nothing_already); !decides.empty()) out.push_back(std::move(decides));
    return out;
}

/// The last visit before this one that shows the element, where it was labelled otherwise there.
std::vector<std::string> since_earlier_visit(const ReportModel& model, const Timepoint& visit, Eye eye, const ElementEntry& element, const SeriesLabels& labels) {
    const ElementEntry* before = nullptr;
    const Timepoint* when = nullptr;
    for (const Timepoint& t : model.timepoints) {
        if (t.id == visit.id) break;
        if (const ElementEntry* e = find_element(t, eye, element.id)) before = e, when = &t;
    }
    if (before == nullptr || before->material.label == element.material.label) return {};
    const PartOfJudgement then = judgement_of(before->material);
    std::vector<std::string> out{say("explanation.at_earlier_visit", {{"date", when->study_date.iso()}, {"material", in_words(then)}})};
    const auto c = contest(then, judgement_of(element.material));
    if (!c) return out;
    // What the same quantity on the same kind of series said already did not turn the judgement.
    const auto already = [&](const Evidence& e) {
        double most = 0.0;
        for (const Evidence& old : before->material.evidence)
            if (old.role == e.role && old.quantity == e.quantity) most = std::max(most, log_ratio(old, c->one, c->other).value_or(0.0));
        return most;
    };
    if (std::string decides = deciding_reading(element.material, *c, labels, [](const Evidence&) { return true; }, already); !decides.empty()) out.push_back(std::move(decides));
    return out;
}

}  // namespace

std::string explanation(const ReportModel& model, const Timepoint& visit, Eye eye, const ElementEntry& element) {
    const MaterialEntry& m = element.material;
    if (m.evidence.empty()) return say("explanation.nothing_read");
    const SeriesLabels labels = label_series(model);
    std::vector<std::string> sentences;
    for (const Evidence& e : m.evidence) sentences.push_back(reading_sentence(e, labels));
    for (const std::vector<std::string>& more : std::array{together(m), by_one_modality(m, m.by_ct, Modality::ct, labels), by_one_modality(m, m.by_mr, Modality::mr, labels),
                                                     since_earlier_visit(model, visit, eye, element, labels)})
        sentences.insert(sentences.end(), more.begin(), more.end());
    return joined(sentences, " ");
}

}  // namespace perisclera::report
