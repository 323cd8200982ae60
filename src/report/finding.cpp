// SPDX-License-Identifier: Apache-2.0
// The sentences of the finding: presence, what and where, material, size, change.
#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/material_shares.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"
#include "src/report/material_cautions.h"
#include "src/report/record_wording.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

std::string capitalised(std::string words) {
    if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
    return words;
}

std::string headline(Eye eye, std::string_view presence) { return say("finding.headline", {{"side", side_in_words(eye)}, {"presence", say(presence)}}); }

const Timepoint* find_visit(const ReportModel& model, std::string_view id) {
    const auto at = std::find_if(model.timepoints.begin(), model.timepoints.end(), [&](const Timepoint& t) { return t.id == id; });
    return at == model.timepoints.end() ? nullptr : &*at;
}

std::string date_of(const ReportModel& model, std::string_view id) {
    const Timepoint* visit = find_visit(model, id);
    return visit ? visit->study_date.iso() : std::string(id);
}

/// "2010-03-15 (3650 days, 10.0 years, before)", and what is known of the volume since then.
struct Since {
    std::string date, with_volume;
};
Since since_of(const ReportModel& model, const Change& c) {
    const std::string since = say("change.since", {{"date", date_of(model, c.from)}, {"days", std::to_string(c.days)}, {"years", fixed(c.days / 365.25, 1)}});
    if (!c.volume.has_value()) return {since, since};
    std::vector<std::string> volume{say("change.volume", {{"change", change_in_words(c.volume)}})};
    if (c.smallest_detectable) volume.push_back(say("change.smallest_shown", {{"percent", fixed(c.smallest_detectable->value(), 0)}}));
    if (!c.same_method) volume.push_back(say("change.other_series"));
    if (c.under_one_number) volume.push_back(say("change.under_one_number"));
    return {since, say("change.since_with_volume", {{"since", since}, {"volume", joined(volume, "; ")}})};
}

/// Where it is one at one date and in pieces at the other, or in more of them.
std::string pieces_sentence(const ReportModel& model, const Change& c) {
    const auto pieces_at = [&](const std::string& visit_id) {
        const Timepoint* visit = find_visit(model, visit_id);
        const ElementEntry* element = visit != nullptr ? find_element(*visit, c.eye, c.element) : nullptr;
        return element != nullptr ? element->fragments : std::nullopt;
    };
    const auto before = pieces_at(c.from), now = pieces_at(c.to);
    if (!before || !now || *before == *now) return "";
    return say(*now > *before ? "change.in_pieces_now" : "change.in_pieces_then", {{"date", date_of(model, c.from)}, {"now", std::to_string(*now)}, {"before", std::to_string(*before)}});
}

std::string verdict_sentence(const ReportModel& model, const Change& c) {
    const Since since = since_of(model, c);
    switch (c.verdict) {
        case Verdict::enlarged: return say("change.enlarged", {{"since", since.with_volume}});
        case Verdict::shrunk: return say("change.shrunk", {{"since", since.with_volume}});
        case Verdict::unchanged: {
            // The smallest change is one that 95 of 100 pairs of scans of an element that stayed the same do not reach; a verdict asks for 99.
            // It is told of growth; a loss is as great where the growth back would be.
            const auto* percent = c.volume.measured();
            const auto log_ratio = [](Percent p) { return std::log1p(p.value() / 100.0); };
            const bool likely = percent != nullptr && c.smallest_detectable && std::abs(log_ratio(percent->value())) > log_ratio(*c.smallest_detectable);
            return say(likely ? "change.likely" : "change.none_shown", {{"since", since.with_volume}});
        }
        case Verdict::removed: return say("change.removed", {{"since", since.date}});
        case Verdict::partly_removed: return say("change.partly_removed", {{"since", since.with_volume}});
        case Verdict::new_element: return say("change.new", {{"since", since.date}});
        case Verdict::not_comparable: break;
    }
    const auto* reason = c.volume.unmeasured();
    return reason ? say("change.not_comparable_why", {{"since", since.date}, {"why", clean_text(reason->why)}}) : say("change.not_comparable", {{"since", since.date}});
}

std::string change_sentence(const ReportModel& model, const Change& c) {
    const std::string pieces = pieces_sentence(model, c);
    return verdict_sentence(model, c) + (pieces.empty() ? "" : " " + pieces);
}

std::string kind_in_words(LookAlike kind) {
    switch (kind) {
        case LookAlike::soft_tissue: return say("look_alike.soft_tissue");
        case LookAlike::fluid: return say("look_alike.fluid");
        case LookAlike::airy: return say("look_alike.airy");
        case LookAlike::dense: return say("look_alike.dense");
        case LookAlike::unknown: break;
    }
    return say("look_alike.unknown");
}

std::string look_alike_sentence(const std::vector<LookAlike>& look_alikes) {
    std::string kinds;
    for (const LookAlike l : look_alikes) kinds = kinds.empty() ? kind_in_words(l) : say("finding.or_kind", {{"kinds", kinds}, {"kind", kind_in_words(l)}});
    return say("finding.readings_fit", {{"kinds", kinds}});
}

/// The label hangs on shares that the user set: what they are, what all materials then are, and, by Bayes' rule, what they would be by the program's own.
std::string set_shares_sentence(const PerMaterial<double>& set, const MaterialEntry& material) {
    PerMaterial<double> by_own = material.probabilities;
    double sum = 0.0;
    for (const Material m : all_materials) sum += by_own[m] *= prior_share[static_cast<std::size_t>(m)] / set[m];
    for (double& p : by_own.values) p /= sum;
    return say("finding.shares_set", {{"shares", shares_in_words(set)}, {"probabilities", probabilities_in_words(material.probabilities)}, {"own", shares_in_words({prior_share})}, {"by_own", probabilities_in_words(by_own)}});
}

/// Beside the water by the images, that by the growth of its section; empty where the section at the surgery was not told or cannot have grown into this one.
std::string swelling_sentence(const MaterialEntry& material) {
    if (!material.record || !material.record->section || !not_excluded(material, Material::hydrogel)) return "";
    const OriginalSection& original = *material.record->section;
    return say("finding.water_by_swelling", {{"width", fixed(original.width.value(), 2)}, {"thickness", fixed(original.thickness.value(), 2)},
                                             {"by_swelling", in_words(material.water_by_swelling)}, {"by_images", in_words(material.water_fraction)}});
}

ElementFinding element_finding(const ReportModel& model, const Timepoint& visit, const ElementEntry& e, Eye eye) {
    ElementFinding out;
    out.title = say("finding.title", {{"element", e.id}, {"form", in_words(e.form)}, {"place", place_in_words(e, eye)}});
    if (!e.expected_from.empty()) out.sentences.push_back(say("finding.expected_from", {{"date", date_of(model, e.expected_from)}}));
    const std::string material = label_with_probability(e.material);
    out.sentences.push_back(e.material.label && e.material.water_fraction.has_value() ? say("finding.material_and_water", {{"material", material}, {"water", in_words(e.material.water_fraction)}})
                                                                                     : say("finding.material", {{"material", material}}));
    if (const auto shares = set_material_shares(model)) out.sentences.push_back(set_shares_sentence(*shares, e.material));
    if (e.material.record)
        for (std::string& sentence : record_sentences(*e.material.record)) out.sentences.push_back(std::move(sentence));
    if (std::string words = swelling_sentence(e.material); !words.empty()) out.sentences.push_back(std::move(words));
    if (not_excluded(e.material, Material::other) && !e.material.look_alikes.empty()) out.sentences.push_back(look_alike_sentence(e.material.look_alikes));
    for (const MaterialCaution caution : material_cautions(visit.eye(eye), e)) out.sentences.push_back(in_words(caution, e.material));
    const Section& section = e.largest_section;
    out.sentences.push_back(section.width.has_value() || section.thickness.has_value()
                                ? say("finding.volume_and_section", {{"volume", in_words(e.volume)}, {"width", in_words(section.width)}, {"thickness", in_words(section.thickness)}})
                                : say("finding.volume", {{"volume", in_words(e.volume)}}));
    if (e.limbus_anterior.has_value() || e.limbus_posterior.has_value())
        out.sentences.push_back(say("finding.behind_limbus", {{"front", in_words(e.limbus_anterior)}, {"rear", in_words(e.limbus_posterior)}}));
    if (e.indentation.has_value()) out.sentences.push_back(say("finding.indentation", {{"indentation", in_words(e.indentation)}}));
    if (const auto* distance = e.surface_distance.measured()) {
        // A conjunctiva with Tenon's capsule is some half a millimetre thick (common practice, no source).
        constexpr Mm thinnest_cover(0.5);
        out.sentences.push_back(say("finding.surface_distance", {{"distance", in_words(e.surface_distance)}}));
        if (distance->low() < thinnest_cover) out.sentences.push_back(say("finding.near_surface"));
    }
    if (e.wall_relation == WallRelation::possible_intrusion) out.sentences.push_back(say("finding.possible_intrusion"));
    for (const Change& c : model.changes) {
        if (c.eye == eye && c.element == e.id && c.to == visit.id) out.sentences.push_back(change_sentence(model, c));
    }
    return out;
}

/// The catalogue's key of what the headline says.
std::string_view presence_key(GlobeStatus globe, Presence presence) {
    switch (globe) {
        case GlobeStatus::not_imaged: return "finding.not_imaged";
        case GlobeStatus::not_found: return "finding.globe_not_found";
        case GlobeStatus::found: break;
    }
    switch (presence) {
        case Presence::present: return "finding.present";
        case Presence::absent: return "finding.absent";
        case Presence::uncertain: break;
    }
    return "finding.uncertain";
}

}  // namespace

bool was_left_out(const ReportModel& model, Eye eye) {
    return std::any_of(model.options.begin(), model.options.end(), [&](const Option& o) {
        const auto* text = std::get_if<std::string>(&o.value);
        return o.name == "eye" && text != nullptr && *text == name(fellow(eye));
    });
}

const Timepoint* current_visit(const ReportModel& model, Eye eye) {
    if (model.timepoints.empty()) return nullptr;
    const auto shown = std::find_if(model.timepoints.rbegin(), model.timepoints.rend(), [&](const Timepoint& t) {
        const EyeEntry& e = t.eye(eye);
        return e.globe.status != GlobeStatus::not_imaged || !e.elements.empty();
    });
    return shown == model.timepoints.rend() ? &model.timepoints.back() : &*shown;
}

const ElementEntry* find_element(const Timepoint& visit, Eye eye, std::string_view id) {
    const auto& all = visit.eye(eye).elements;
    const auto at = std::find_if(all.begin(), all.end(), [&](const ElementEntry& e) { return e.id == id; });
    return at == all.end() ? nullptr : &*at;
}

EyeFinding finding(const ReportModel& model, Eye eye) {
    const Timepoint* visit = current_visit(model, eye);
    if (!visit) return {headline(eye, "finding.no_images"), {}, {}};
    if (was_left_out(model, eye)) return {headline(eye, "finding.not_asked_for"), {say("finding.other_eye_only")}, {}};
    const EyeEntry& seen = visit->eye(eye);
    EyeFinding out;
    // An element without a located globe still counts as what was concluded about presence.
    const bool concluded = seen.globe.status == GlobeStatus::found || !seen.elements.empty();
    out.headline = headline(eye, presence_key(concluded ? GlobeStatus::found : seen.globe.status, seen.explant.presence));
    if (visit != &model.timepoints.back()) out.sentences.push_back(say("finding.as_of", {{"date", visit->study_date.iso()}}));
    if (concluded) {
        out.sentences.push_back(say("finding.probability", {{"probability", probability_in_words(seen.explant.probability)}}));
        // Why it is uncertain, where something was seen that is no finding.
        if (!seen.mass_effect.note.empty()) out.sentences.push_back(seen.mass_effect.note);
        if (seen.explant.presence != Presence::present) out.sentences.push_back(capitalised(detection_limit(seen.explant, seen.elements.empty())));
        if (seen.globe.status == GlobeStatus::found) out.globe.push_back(globe_sentence(seen.globe));
        for (const std::string& words : {place_sentence(seen.mass_effect), turn_sentence(seen.mass_effect), muscle_sentence(seen)})
            if (!words.empty()) out.globe.push_back(words);
    } else {
        out.sentences.push_back(say("finding.nothing_can_be_said"));
    }
    for (const ElementEntry& e : seen.elements) out.elements.push_back(element_finding(model, *visit, e, eye));
    for (const Change& c : model.changes) {
        if (c.eye == eye && c.to == visit->id && !find_element(*visit, eye, c.element))
            out.sentences.push_back(say("change.of_element", {{"element", c.element}, {"change", change_sentence(model, c)}}));
    }
    return out;
}

}  // namespace perisclera::report
