// SPDX-License-Identifier: Apache-2.0
// The sentences of the finding: presence, what and where, material, size, change.
#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"
#include "src/report/record_wording.h"

namespace perisclera::report {

namespace {

std::string capitalised(std::string words) {
    if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
    return words;
}

std::string side(Eye eye) { return say(eye == Eye::right ? "side.right" : "side.left"); }

const Timepoint* find_visit(const ReportModel& model, std::string_view id) {
    const auto at = std::find_if(model.timepoints.begin(), model.timepoints.end(), [&](const Timepoint& t) { return t.id == id; });
    return at == model.timepoints.end() ? nullptr : &*at;
}

std::string date_of(const ReportModel& model, std::string_view id) {
    const Timepoint* visit = find_visit(model, id);
    return visit ? visit->study_date.iso() : std::string(id);
}

std::string change_sentence(const ReportModel& model, const Change& c) {
    const std::string since = date_of(model, c.from) + " (" + std::to_string(c.days) + " days, " + fixed(c.days / 365.25, 1) + " years, before)";
    std::string volume;
    if (c.volume.has_value()) {
        volume = ": volume " + change_in_words(c.volume);
        volume += c.smallest_detectable ? "; smallest change these scans can show " + fixed(c.smallest_detectable->value(), 0) + " %" : "";
        volume += c.same_method ? "" : "; measured on different kinds of series";
    }
    switch (c.verdict) {
        case Verdict::enlarged: return "Enlarged since " + since + volume + ".";
        case Verdict::shrunk: return "Smaller than on " + since + volume + ".";
        case Verdict::unchanged: {
            // The smallest change is one that 95 of 100 pairs of scans of an element that stayed the same do not reach; a verdict asks for 99.
            const auto* percent = c.volume.measured();
            const bool likely = percent != nullptr && c.smallest_detectable && std::abs(percent->value().value()) > c.smallest_detectable->value();
            return (likely ? "A change is likely, but not certain enough for a verdict, since " : "No change shown since ") + since + volume + ".";
        }
        case Verdict::removed: return "Seen on " + since + ", no longer seen.";
        case Verdict::partly_removed: return "Partly removed since " + since + volume + ".";
        case Verdict::new_element: return "New: not seen on " + since + ".";
        case Verdict::not_comparable: break;
    }
    const auto* reason = c.volume.unmeasured();
    return "Cannot be compared with " + since + (reason ? ": " + clean_text(reason->why) : "") + ".";
}

std::string_view kind_in_words(LookAlike kind) {
    switch (kind) {
        case LookAlike::soft_tissue: return "soft tissue (muscle, gland, growth or scar)";
        case LookAlike::fluid: return "fluid (a cyst, an abscess, the bleb of a drainage device)";
        case LookAlike::airy: return "wood, foam or gas";
        case LookAlike::dense: return "a plate, a drainage device, calcium or metal";
        case LookAlike::unknown: break;
    }
    return "something else";
}

ElementFinding element_finding(const ReportModel& model, const Timepoint& visit, const ElementEntry& e, Eye eye) {
    ElementFinding out;
    out.title = e.id + ": " + std::string(name(e.form)) + " element, " + place_in_words(e, eye);
    std::string material = "Material: " + label_with_probability(e.material);
    if (e.material.label && e.material.water_fraction.has_value()) material += ", water content " + in_words(e.material.water_fraction);
    out.sentences.push_back(material + ".");
    if (e.material.record)
        for (std::string& sentence : record_sentences(*e.material.record)) out.sentences.push_back(std::move(sentence));
    const auto may_be = [&](Material m) { return std::find(e.material.candidates.begin(), e.material.candidates.end(), m) != e.material.candidates.end(); };
    if (may_be(Material::other) && !e.material.look_alikes.empty()) {
        std::string kinds;
        for (const LookAlike l : e.material.look_alikes) kinds += (kinds.empty() ? "" : ", or ") + std::string(kind_in_words(l));
        out.sentences.push_back("If it is no explant material, the readings fit " + kinds + ".");
    }
    if (e.material.label == Material::other) {
        out.sentences.push_back("It fits no explant material: tumour or abscess is not excluded, and it needs a clinician.");
    } else if (may_be(Material::hydrogel) || may_be(Material::silicone_sponge)) {
        out.sentences.push_back("This pattern does not exclude infection or abscess.");
    }
    std::string size = "Volume " + in_words(e.volume);
    if (e.largest_section.width.has_value() || e.largest_section.thickness.has_value()) {
        size += ". Largest section: width " + in_words(e.largest_section.width) + ", thickness (outward) " + in_words(e.largest_section.thickness);
    }
    out.sentences.push_back(size + ".");
    if (e.limbus_anterior.has_value() || e.limbus_posterior.has_value()) {
        out.sentences.push_back("Behind the limbus, along the sclera: front edge " + in_words(e.limbus_anterior) + ", rear edge " + in_words(e.limbus_posterior) + ".");
    }
    if (e.indentation.has_value()) out.sentences.push_back("Indentation (buckle height, inward) " + in_words(e.indentation) + ".");
    if (e.wall_relation == WallRelation::possible_intrusion) out.sentences.push_back("It may have intruded through the wall of the eye.");
    for (const Change& c : model.changes) {
        if (c.eye == eye && c.element == e.id && c.to == visit.id) out.sentences.push_back(change_sentence(model, c));
    }
    return out;
}

std::string presence_headline(const EyeEntry& eye) {
    switch (eye.globe.status) {
        case GlobeStatus::not_imaged: return "not in the field of view of any used series";
        case GlobeStatus::not_found: return "the globe was not found in the images";
        case GlobeStatus::found: break;
    }
    switch (eye.explant.presence) {
        case Presence::present: return "explant present";
        case Presence::absent: return "no explant seen; not found is not absent";
        case Presence::uncertain: break;
    }
    return "uncertain whether there is an explant";
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
    if (!visit) return {side(eye) + ": no images", {}, {}};
    if (was_left_out(model, eye)) return {side(eye) + ": not asked for", {"This run was limited to the other eye."}, {}};
    const EyeEntry& seen = visit->eye(eye);
    EyeFinding out;
    // An element without a located globe still counts as what was concluded about presence.
    const bool concluded = seen.globe.status == GlobeStatus::found || !seen.elements.empty();
    EyeEntry headline = seen;
    if (concluded) headline.globe.status = GlobeStatus::found;
    out.headline = side(eye) + ": " + presence_headline(headline);
    if (visit != &model.timepoints.back()) {
        out.sentences.push_back("As of " + visit->study_date.iso() + "; later images do not show this eye.");
    }
    if (concluded) {
        out.sentences.push_back("An explant in this eye: " + probability_in_words(seen.explant.probability) + ".");
        // Why it is uncertain, where something was seen that is no finding.
        if (!seen.mass_effect.note.empty()) out.sentences.push_back(seen.mass_effect.note);
        if (seen.explant.presence != Presence::present) out.sentences.push_back(capitalised(detection_limit(seen.explant, seen.elements.empty())));
        if (seen.globe.status == GlobeStatus::found) out.globe.push_back(globe_sentence(seen.globe));
        for (const std::string& words : {place_sentence(seen.mass_effect), turn_sentence(seen.mass_effect), muscle_sentence(seen)})
            if (!words.empty()) out.globe.push_back(words);
    } else {
        out.sentences.push_back("Nothing can be said about an explant in this eye.");
    }
    for (const ElementEntry& e : seen.elements) out.elements.push_back(element_finding(model, *visit, e, eye));
    for (const Change& c : model.changes) {
        if (c.eye == eye && c.to == visit->id && !find_element(*visit, eye, c.element)) out.sentences.push_back(c.element + ": " + change_sentence(model, c));
    }
    return out;
}

}  // namespace perisclera::report
