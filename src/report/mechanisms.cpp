// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/mechanisms.h"

#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

std::string muscles_on_scan(const EyeEntry& eye, const ElementEntry& element, Eye which) {
    if (!element.from.has_value() && element.form != Form::encircling) return say("on_scan.any_muscle");
    std::vector<std::string> told;
    for (const MuscleName m : recti_in_sector(element, which)) {
        std::string words = in_words(m);
        for (const MuscleElement& relation : eye.muscles[static_cast<std::size_t>(m)].elements)
            if (relation.id == element.id && relation.relation != MuscleRelation::not_determinable) words = say("on_scan.muscle_related", {{"muscle", words}, {"relation", in_words(relation.relation)}});
        told.push_back(words);
    }
    return told.empty() ? say("on_scan.no_muscle") : say("on_scan.muscles", {{"muscles", joined(told, ", ")}});
}

std::string continuity_on_scan(const EyeEntry& eye) {
    std::vector<std::string> muscles;
    for (const MuscleEntry& m : eye.muscles) muscles.push_back(say("on_scan.muscle_course", {{"muscle", in_words(m.muscle)}, {"course", in_words(m.continuity)}}));
    return say("on_scan.continuity", {{"muscles", joined(muscles, ", ")}});
}

std::string place_on_scan(const EyeEntry& eye) {
    switch (eye.mass_effect.forward_place) {
        case ForwardPlace::in_front: return say("on_scan.globe_in_front");
        case ForwardPlace::behind: return say("on_scan.globe_behind");
        case ForwardPlace::within_usual: return say("on_scan.globe_within_usual");
        case ForwardPlace::not_determinable: break;
    }
    return say("on_scan.globe_not_determinable");
}

std::string on_this_scan(Mechanism mechanism, const EyeEntry& eye, const ElementEntry& e, Eye which) {
    switch (mechanism) {
        case Mechanism::mass_blocks_rotation: return say("on_scan.thickness", {{"thickness", in_words(e.largest_section.thickness)}, {"room", in_words(e.orbital_wall_distance)}});
        case Mechanism::muscle_stretched_or_adherent: return muscles_on_scan(eye, e, which);
        case Mechanism::muscle_bound_by_capsule: return say("on_scan.capsule", {{"capsule", in_words(e.capsule)}});
        case Mechanism::muscle_cut_or_slipped: return continuity_on_scan(eye);
        case Mechanism::oblique_trapped: return say("on_scan.oblique_muscles");
        case Mechanism::globe_displaced: return place_on_scan(eye);
    }
    return "";
}

/// What was told and no element seen explains.
void add_unexplained(const ReportModel& model, Eye which, const std::vector<FitOfFindings>& fits, std::vector<std::string>& out) {
    const Examination& told = *model.examination;
    for (const Movement m : all_movements) {
        const MovementFinding& f = told.eye(which).of(m);
        if (!is_disturbed(f) || std::any_of(fits.begin(), fits.end(), [&](const FitOfFindings& fit) { return fit.explains[static_cast<std::size_t>(m)]; })) continue;
        std::vector<std::string> findings = tests_in_words(f);
        findings.insert(findings.begin(), f.range ? in_words(*f.range) : say("movement.range_not_told"));
        out.push_back(say(fits.empty() ? "unexplained.no_explant_seen" : "unexplained.none_fits", {{"eye", in_words(which)}, {"movement", in_words(m)}, {"findings", joined(findings, ", ")}}));
    }
}

}  // namespace

std::string_view name(Mechanism m) {
    constexpr std::array<std::string_view, 6> words{"mass_blocks_rotation", "muscle_stretched_or_adherent", "muscle_bound_by_capsule", "muscle_cut_or_slipped", "oblique_trapped", "globe_displaced"};
    return words.at(static_cast<std::size_t>(m));
}

std::string_view name(Fit f) {
    constexpr std::array<std::string_view, 3> words{"fits", "does_not_fit", "not_told"};
    return words.at(static_cast<std::size_t>(f));
}

MechanismWords words_of(Mechanism mechanism) {
    const auto published = [](std::string_view what, std::string_view test, std::string_view source) { return MechanismWords{say(what), say(test), Basis::published, say(source)}; };
    const auto practice = [](std::string_view what, std::string_view test) { return MechanismWords{say(what), say(test), Basis::common_practice, say("mechanism.no_source")}; };
    switch (mechanism) {
        case Mechanism::mass_blocks_rotation: return published("mechanism.mass_blocks_rotation", "mechanism.mass_blocks_rotation_test", "mechanism.mass_blocks_rotation_source");
        case Mechanism::muscle_stretched_or_adherent: return published("mechanism.muscle_stretched", "mechanism.muscle_stretched_test", "mechanism.muscle_stretched_source");
        case Mechanism::muscle_bound_by_capsule: return practice("mechanism.muscle_bound", "mechanism.muscle_bound_test");
        case Mechanism::muscle_cut_or_slipped: return published("mechanism.muscle_cut", "mechanism.muscle_cut_test", "mechanism.muscle_cut_source");
        case Mechanism::oblique_trapped: return practice("mechanism.oblique_trapped", "mechanism.oblique_trapped_test");
        case Mechanism::globe_displaced: break;
    }
    return practice("mechanism.globe_displaced", "mechanism.globe_displaced_test");
}

std::string position_foretells_nothing() { return say("mechanism.nothing_foretold"); }

std::vector<MuscleName> recti_in_sector(const ElementEntry& element, Eye eye) {
    // Half the width of an insertion, 8.4 to 10.5 mm (60 cadaver eyes, Yalcin B et al., Gulhane Med J 2004;49:271-275), is 0.67 to 0.84 clock hours on a globe of 12 mm radius; the
    // rest is for torsion and the doubt of the element's ends.
    constexpr double half_width_hours = 1.0;
    constexpr std::array<MuscleName, 4> all{MuscleName::superior, MuscleName::inferior, MuscleName::medial, MuscleName::lateral};
    const double nasal = eye == Eye::right ? 3.0 : 9.0;
    const std::array<double, 4> hours{0.0, 6.0, nasal, 12.0 - nasal};
    const auto *from = element.from.measured(), *to = element.to.measured(), *span = element.span.measured();
    std::vector<MuscleName> out;
    for (std::size_t k = 0; k < all.size(); ++k) {
        bool within = true;
        if (from && to) {
            const ClockPosition start(from->value().value());
            const double extent = span ? span->value().value() : start.clockwise_to(ClockPosition(to->value().value())).value();
            within = extent + 2.0 * half_width_hours >= 12.0 || ClockPosition(start.hours() - half_width_hours).clockwise_to(ClockPosition(hours[k])).value() <= extent + 2.0 * half_width_hours;
        }
        if (within) out.push_back(all[k]);
    }
    return out;
}

MechanismsToSeparate mechanisms(const ReportModel& model) {
    MechanismsToSeparate out;
    bool deviation_explained = false;
    for (const Eye eye : both_eyes) {
        std::vector<FitOfFindings> fits;
        if (const Timepoint* visit = current_visit(model, eye)) {
            const EyeEntry& seen = visit->eye(eye);
            for (const ElementEntry& e : seen.elements) {
                if (e.material.label == Material::other) continue;
                ElementMechanisms one{eye, e.id, {}};
                for (const Mechanism m : all_mechanisms) {
                    MechanismEntry entry{m, on_this_scan(m, seen, e, eye)};
                    if (model.examination) {
                        const Examination& told = *model.examination;
                        fits.push_back(fit_of(m, told.eye(eye), told.deviation, told.symptoms, recti_in_sector(e, eye)));
                        entry.fit = fits.back().fit;
                        entry.why = fits.back().why;
                        deviation_explained = deviation_explained || fits.back().explains_deviation;
                    }
                    one.entries.push_back(std::move(entry));
                }
                out.elements.push_back(std::move(one));
            }
        }
        if (model.examination) add_unexplained(model, eye, fits, out.unexplained);
    }
    if (!model.examination) return out;
    const Examination& told = *model.examination;
    const bool deviates = told.deviation.horizontal.value_or(HorizontalDeviation::none) != HorizontalDeviation::none || told.deviation.vertical.value_or(VerticalDeviation::none) != VerticalDeviation::none;
    bool any_disturbed = false;
    for (const Eye eye : both_eyes)
        for (const Movement m : all_movements) any_disturbed = any_disturbed || is_disturbed(told.eye(eye).of(m));
    if (deviates && !any_disturbed && !deviation_explained) out.unexplained.push_back(say("unexplained.deviation"));
    std::vector<std::string> other;
    for (const Symptom s : told.symptoms)
        if (s != Symptom::none && s != Symptom::double_vision) other.push_back(in_words(s));
    if (!other.empty()) out.unexplained.push_back(say("unexplained.other_complaints", {{"complaints", joined(other, ", ")}}));
    return out;
}

}  // namespace perisclera::report
