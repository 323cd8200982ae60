// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/mechanisms.h"

#include <algorithm>

#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

constexpr std::string_view no_source = "common practice, no source";

std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& w : words) out += (out.empty() ? "" : ", ") + w;
    return out;
}

std::string muscles_on_scan(const EyeEntry& eye, const ElementEntry& element, Eye which) {
    std::vector<std::string> told;
    for (const MuscleName m : recti_in_sector(element, which)) {
        std::string words(name(m));
        for (const MuscleElement& relation : eye.muscles[static_cast<std::size_t>(m)].elements)
            if (relation.id == element.id && relation.relation != MuscleRelation::not_determinable) words += " (" + spaced(name(relation.relation)) + ")";
        told.push_back(words);
    }
    if (!element.from.has_value() && element.form != Form::encircling) return "Its clock hours were not measured; any rectus muscle may pass over it.";
    return told.empty() ? "By its clock hours it lies in the sector of no rectus muscle."
                        : "By its clock hours it lies in the sector of these rectus muscles: " + joined(told) + ". Whether they pass over it or stick to it is not seen.";
}

std::string continuity_on_scan(const EyeEntry& eye) {
    std::string words;
    for (const MuscleEntry& m : eye.muscles) words += (words.empty() ? "" : ", ") + std::string(name(m.muscle)) + " " + spaced(name(m.continuity));
    return "Rectus muscles up to the globe: " + words + ". Their tendons are not seen.";
}

std::string place_on_scan(const EyeEntry& eye) {
    switch (eye.mass_effect.forward_place) {
        case ForwardPlace::in_front: return "The globe lies farther forward than its fellow beyond what is usual.";
        case ForwardPlace::behind: return "The globe lies farther back than its fellow beyond what is usual.";
        case ForwardPlace::within_usual: return "The globe lies no farther forward or back than usual; sideways and upwards nothing is published to compare with.";
        case ForwardPlace::not_determinable: break;
    }
    return "Whether the globe is displaced could not be determined.";
}

std::string on_this_scan(Mechanism mechanism, const EyeEntry& eye, const ElementEntry& e, Eye which) {
    switch (mechanism) {
        case Mechanism::mass_blocks_rotation:
            return "Thickness (outward) of the largest section " + in_words(e.largest_section.thickness) + ". The room between element and orbital wall is not measured.";
        case Mechanism::muscle_stretched_or_adherent: return muscles_on_scan(eye, e, which);
        case Mechanism::muscle_bound_by_capsule: return "Capsule: " + spaced(name(e.capsule)) + ".";
        case Mechanism::muscle_cut_or_slipped: return continuity_on_scan(eye);
        case Mechanism::oblique_trapped: return "The oblique muscles are not assessed.";
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
        std::string words(f.range ? name(*f.range) : std::string_view("range not told"));
        words += f.forced ? ", forced duction " + std::string(name(*f.forced)) : "";
        words += f.force ? ", force generation " + std::string(name(*f.force)) : "";
        const std::string reason = fits.empty() ? "no explant was seen in this eye, which does not mean that there is none" : "none of the mechanisms above fits; a cause away from the element is not separated here";
        out.push_back("The " + std::string(name(which)) + " eye's " + spaced(name(m)) + " (" + words + "): " + reason + ".");
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
    switch (mechanism) {
        case Mechanism::mass_blocks_rotation:
            return {"The mass itself blocks a rotation: it meets the wall of the orbit, or fills the room into which the eye turns.",
                    "Forced duction: restricted in that direction. Force generation: normal.", Basis::published,
                    "Leibovitch I et al., Br J Ophthalmol 2005;89:640 (abstract): swollen inferior hydrogel, elevation markedly restricted, adduction reduced"};
        case Mechanism::muscle_stretched_or_adherent:
            return {"A muscle is stretched over the element or sticks to it.", "Forced duction: restricted in the direction away from that muscle.", Basis::published,
                    "J Korean Ophthalmol Soc 2023;64:1238-1244: every eye operated on for double vision after buckling had adhesions between buckle and muscle"};
        case Mechanism::muscle_bound_by_capsule:
            return {"The capsule round the element binds a muscle along the element's front or rear edge: it acts weakly, or does not give way.",
                    "Force generation of that muscle: reduced, though it is whole. Forced duction: free in its own direction, or restricted in the direction away from it.", Basis::common_practice,
                    no_source};
        case Mechanism::muscle_cut_or_slipped:
            return {"A muscle was cut through by the element, was taken off at the operation, or has slipped.",
                    "Force generation of that muscle: reduced. Forced duction: free in its own direction, unless its opponent has shortened.", Basis::published,
                    "Wu TE, Rosenbaum AL, Demer JL, Ophthalmology 2005, doi 10.1016/j.ophtha.2004.09.015: in 6 patients 5 rectus muscles were off at the buckle, and elements had passed through "
                    "rectus muscles in 3"};
        case Mechanism::oblique_trapped:
            return {"An oblique muscle is trapped beneath or by the element.", "Torsion; elevation and depression in adduction; forced duction of the oblique muscles.", Basis::common_practice, no_source};
        case Mechanism::globe_displaced:
            return {"The globe is displaced as a whole without being hindered from turning: the eyes are misaligned and no movement is limited.",
                    "Ductions: full. Forced duction: free. Place of the globe on the scan and at the exophthalmometer.", Basis::common_practice, no_source};
    }
    return {"", "", Basis::common_practice, no_source};
}

std::string_view position_foretells_nothing() {
    return "Where an element lies does not tell which movement is limited, so nothing is foretold here: in 1,030 patients double vision after buckling was not related to the buckle's position "
           "(Retina 2012;32:1514-1524, doi 10.1097/IAE.0b013e318240a4fe), and a swollen inferior hydrogel hindered elevation and adduction (Leibovitch I et al., Br J Ophthalmol 2005;89:640, abstract).";
}

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
    if (deviates && !any_disturbed && !deviation_explained) out.unexplained.push_back("The deviation: no limited movement was told that would go with it, and no displaced globe beside movements told full.");
    std::vector<std::string> other;
    for (const Symptom s : told.symptoms)
        if (s != Symptom::none && s != Symptom::double_vision) other.push_back(spaced(name(s)));
    if (!other.empty()) out.unexplained.push_back("Not a matter of movement, so not told by these mechanisms: " + joined(other) + ".");
    return out;
}

}  // namespace perisclera::report
