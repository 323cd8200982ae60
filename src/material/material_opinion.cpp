// SPDX-License-Identifier: Apache-2.0
#include "perisclera/material/material_opinion.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "belief.h"
#include "hydration.h"
#include "information.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

/// What imitates an explant, shares of `other` (assumed). A mass known only by the fat it holds off is muscle, gland or lid as a rule.
constexpr PerLookAlike usual_share{0.22, 0.27, 0.14, 0.27, 0.10}, share_of_masses{0.80, 0.06, 0.0, 0.02, 0.12};
constexpr double not_excluded = 0.05;

Belief before(const std::vector<Reading>& readings, const PerClass& prior) {
    const bool mass = std::any_of(readings.begin(), readings.end(), [](const Reading& r) { return r.kind == EvidenceKind::displaces_fat; });
    return {prior, mass ? share_of_masses : usual_share};
}

std::array<std::size_t, 4> likeliest_first(const PerClass& probability) {
    std::array<std::size_t, 4> order{0, 1, 2, 3};
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return probability[a] > probability[b]; });
    return order;
}

Belief believed(Belief belief, const std::vector<Reading>& readings, bool (*left_out)(const Reading&)) {
    for (const Reading& r : readings)
        if (!left_out(r)) belief.take(r);
    return belief;
}
PerClass taken_in(const Belief& before_any, const std::vector<Reading>& readings, bool (*left_out)(const Reading&)) { return believed(before_any, readings, left_out).probability(); }

bool of_shape(const Reading& r) { return r.kind == EvidenceKind::section_thickness || r.kind == EvidenceKind::fits_wall || r.kind == EvidenceKind::off_wall; }

/// Firm hydrogel and lightly filled silicone are alike on CT and dark on T2; the little that either shows on T1 may be lent by the fat beside it, and sizes prove nothing.
constexpr std::array alike_when_firm{MaterialClass::solid_silicone, MaterialClass::hydrogel};

/// Thinner than any hydrogel is cut, as bands are: common practice, no source.
bool too_thin_for_hydrogel(const Reading& r) {
    constexpr double thinnest_mm = 2.5, z95 = 1.96;
    return r.kind == EvidenceKind::section_thickness && r.value + z95 * r.uncertainty < thinnest_mm;
}

/// Hydrogel of which a part alone stands out from muscle looks thin as well, but not all round.
bool goes_round(const Reading& r) {
    constexpr double nearly_round_h = 9.0;
    return r.kind == EvidenceKind::fits_wall && r.value > nearly_round_h;
}

/// Shares of the two by the signals alone, sum 1. Nothing where CT shows no number, and of a ring that is thinner than its blur and than hydrogel: there the thickness tells more.
std::optional<PerClass> alike_by_signals(const Belief& before_any, const std::vector<Reading>& readings) {
    const auto any = [&](bool (*is)(const Reading&)) { return std::any_of(readings.begin(), readings.end(), is); };
    if (!any(of_ct)) return std::nullopt;
    if (any([](const Reading& r) { return r.kind == EvidenceKind::ct_peak; }) && any(too_thin_for_hydrogel) && any(goes_round)) return std::nullopt;
    const PerClass by_signals = taken_in(before_any, readings, [](const Reading& r) { return !of_ct(r) && r.kind != EvidenceKind::t2_ratio; });
    PerClass out{};
    double sum = 0.0;
    for (const MaterialClass m : alike_when_firm) sum += by_signals[static_cast<std::size_t>(m)];
    if (sum < not_excluded) return std::nullopt;   // it is neither
    for (const MaterialClass m : alike_when_firm) out[static_cast<std::size_t>(m)] = by_signals[static_cast<std::size_t>(m)] / sum;
    return out;
}

/// Does CT of one energy stand alone?
bool one_energy_alone(const std::vector<Reading>& readings) {
    double lowest = HUGE_VAL, highest = 0.0;
    for (const Reading& r : readings) {
        if (of_mr(r)) return false;
        if (of_ct(r)) lowest = std::min(lowest, r.kvp), highest = std::max(highest, r.kvp);
    }
    return lowest <= highest && highest - lowest < told_apart_kvp;
}

/// Both silicones are dark on every weighting of MR: without CT only sizes tell the one from the other, which prove nothing. Where either is not excluded neither is, and none is named.
constexpr std::array alike_on_mr{MaterialClass::solid_silicone, MaterialClass::silicone_sponge};
bool is_either_silicone(const std::vector<Reading>& readings, const PerClass& probability) {
    return std::none_of(readings.begin(), readings.end(), of_ct) &&
           std::any_of(alike_on_mr.begin(), alike_on_mr.end(), [&](MaterialClass m) { return probability[static_cast<std::size_t>(m)] >= not_excluded; });
}

PartOpinion conclusion(const Belief& before_any, const std::vector<Reading>& readings, const PerClass& probability) {
    const std::optional<PerClass> alike = alike_by_signals(before_any, readings);
    const bool either_silicone = is_either_silicone(readings, probability);
    const auto is_silicone = [](MaterialClass m) { return std::find(alike_on_mr.begin(), alike_on_mr.end(), m) != alike_on_mr.end(); };
    PartOpinion out;
    const auto order = likeliest_first(probability);
    for (const std::size_t m : order)
        if (probability[m] >= not_excluded || (alike && (*alike)[m] >= not_excluded) || (either_silicone && is_silicone(all_material_classes[m]))) out.candidates.push_back(all_material_classes[m]);
    const MaterialClass likeliest = all_material_classes[order[0]];
    // What hydrogel shows on T1 was measured by nobody: by that alone none is named.
    const bool by_t1_alone = likeliest == MaterialClass::hydrogel && std::none_of(readings.begin(), readings.end(), [](const Reading& r) { return of_ct(r) || r.kind == EvidenceKind::t2_ratio; });
    // Nor one of the alike by one CT energy, where only its size would tell it from the other.
    const bool is_alike = std::find(alike_when_firm.begin(), alike_when_firm.end(), likeliest) != alike_when_firm.end();
    const bool by_size_alone = alike && is_alike && (*alike)[order[0]] < label_margin && one_energy_alone(readings);
    const bool either_on_mr = either_silicone && is_silicone(likeliest);
    if (probability[order[0]] >= label_margin && !by_t1_alone && !by_size_alone && !either_on_mr) out.label = likeliest;
    return out;
}

/// By the readings that one modality gave, and by those of shape; nothing where the other modality gave none.
std::optional<PartOpinion> without(bool (*modality)(const Reading&), const std::vector<Reading>& readings, const PerClass& prior) {
    const auto left_out = std::count_if(readings.begin(), readings.end(), modality);
    const auto of_signal = std::count_if(readings.begin(), readings.end(), [](const Reading& r) { return of_ct(r) || of_mr(r); });
    if (left_out == 0 || left_out == of_signal) return std::nullopt;
    std::vector<Reading> part;
    std::copy_if(readings.begin(), readings.end(), std::back_inserter(part), [&](const Reading& r) { return !modality(r); });
    const Belief before_any = before(part, prior);
    return conclusion(before_any, part, taken_in(before_any, part, [](const Reading&) { return false; }));
}

/// Nothing is named where a label is settled, nor what would hardly tell; MR rather than CT where it tells about as much, since it takes no radiation.
NextStep most_informative(const PartOpinion& opinion, const PerStep& bits) {
    constexpr double least_bits = 0.1, about_as_much = 0.8;
    if (opinion.label) return NextStep::none;
    const auto told_by = [&](NextStep s) { return bits[static_cast<std::size_t>(s)]; };
    NextStep best = NextStep::t2;
    if (told_by(NextStep::t1) > told_by(best)) best = NextStep::t1;
    for (const NextStep ct : {NextStep::ct, NextStep::second_ct_energy})
        if (about_as_much * told_by(ct) > told_by(best)) best = ct;
    return told_by(best) >= least_bits ? best : NextStep::none;
}

/// What fits nothing in the table is a score of times likelier of something unknown.
bool lies_outside_table(const Reading& r) {
    constexpr double times_likelier = 20.0;
    if (!of_ct(r) && !of_mr(r)) return false;
    const Belief any(prior_share, usual_share);
    const PerClass of_class = any.likelihood_of(r);
    double best = 0.0;
    for (const MaterialClass m : {MaterialClass::solid_silicone, MaterialClass::silicone_sponge, MaterialClass::hydrogel}) best = std::max(best, of_class[static_cast<std::size_t>(m)]);
    for (const auto& p : imitations(usual_share))
        if (p.state.kind != LookAlike::unknown && !(of_mr(r) && p.state.on_mr == Imitation::OnMr::anything)) best = std::max(best, likelihood(r, p.state));
    return likelihood_of_anything(r) > times_likelier * best;
}

}  // namespace

std::string_view name(LookAlike kind) {
    switch (kind) {
        case LookAlike::soft_tissue: return "soft_tissue";
        case LookAlike::fluid: return "fluid";
        case LookAlike::airy: return "airy";
        case LookAlike::dense: return "dense";
        case LookAlike::unknown: return "unknown";
    }
    return "unknown";
}

MaterialOpinion judge_material(const std::vector<Reading>& readings, const PerClass& prior) {
    const Belief before_any = before(readings, prior);
    Belief belief = before_any;
    std::vector<JudgedReading> evidence;
    bool outside_table = false;
    for (const Reading& r : readings) {
        JudgedReading judged{r, belief.take(r), expected_ranges(r)};
        for (double& l : judged.log_likelihood) l = std::log(l);
        evidence.push_back(judged);
        outside_table = outside_table || lies_outside_table(r);
    }
    const PerClass probability = belief.probability();
    const PartOpinion all = conclusion(before_any, readings, probability);
    // Where a class leads clearly and is not named, its size is no proof: what a series would tell is reckoned without it.
    const bool not_named = !all.label && *std::max_element(probability.begin(), probability.end()) >= label_margin;
    const PerStep bits = expected_information(not_named ? believed(before_any, readings, of_shape) : belief, readings);
    MaterialOpinion opinion{all.label, all.candidates, probability, belief.look_alikes(), Unmeasured{say("reason.hydrogel_only")}, std::move(evidence), most_informative(all, bits), bits};
    opinion.by_ct = without(of_mr, readings, prior);
    opinion.by_mr = without(of_ct, readings, prior);
    opinion.outside_table = outside_table;
    if (probability[static_cast<std::size_t>(MaterialClass::hydrogel)] >= not_excluded) opinion.water_by_reading = water_by_reading(readings);
    // Told also where nothing but hydrogel comes near.
    const std::size_t nearest = static_cast<std::size_t>(std::max_element(probability.begin(), probability.begin() + 3) - probability.begin());
    opinion.water_disagrees = all_material_classes[nearest] == MaterialClass::hydrogel && water_disagrees(readings);
    if (opinion.label == MaterialClass::hydrogel) opinion.water_fraction = water_of(belief.hydrogels());
    return opinion;
}

std::vector<Reading> readings_of(const MaterialOpinion& opinion) {
    std::vector<Reading> readings;
    for (const JudgedReading& judged : opinion.evidence) readings.push_back(judged.reading);
    return readings;
}

}  // namespace perisclera
