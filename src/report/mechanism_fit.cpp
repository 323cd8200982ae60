// SPDX-License-Identifier: Apache-2.0
// How an examiner's findings speak for or against a mechanism. What holds the eye back is felt by forced duction, what does not pull by force generation
// (common practice, no source). For each movement a finding speaks for, against, or not at all; one that speaks for the mechanism outweighs others, since a
// mechanism need not explain everything.
#include <algorithm>

#include "perisclera/core/text.h"
#include "perisclera/report/mechanisms.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

/// The rectus muscles that make a movement and that oppose it; nothing for what the oblique muscles do.
struct Pair {
    MuscleName agonist, antagonist;
};
std::optional<Pair> recti_of(Movement m) {
    switch (m) {
        case Movement::elevation: return Pair{MuscleName::superior, MuscleName::inferior};
        case Movement::depression: return Pair{MuscleName::inferior, MuscleName::superior};
        case Movement::adduction: return Pair{MuscleName::medial, MuscleName::lateral};
        case Movement::abduction: return Pair{MuscleName::lateral, MuscleName::medial};
        case Movement::elevation_in_adduction:
        case Movement::depression_in_adduction: break;
    }
    return std::nullopt;
}

enum class Speaks { for_it, against_it, not_at_all };

Speaks held_back(const MovementFinding& f) {
    if (f.forced) return *f.forced == ForcedDuction::restricted ? Speaks::for_it : Speaks::against_it;
    if (f.range) return *f.range == MovementRange::limited ? Speaks::for_it : Speaks::against_it;
    return Speaks::not_at_all;
}

Speaks weak(const MovementFinding& f) {
    if (f.force) return *f.force == ForceGeneration::reduced ? Speaks::for_it : Speaks::against_it;
    // A restriction explains a limited movement as well: then it takes the force to tell.
    if (f.range == MovementRange::limited) return f.forced == ForcedDuction::restricted ? Speaks::not_at_all : Speaks::for_it;
    return f.range ? Speaks::against_it : Speaks::not_at_all;
}

Speaks either(Speaks a, Speaks b) {
    if (a == Speaks::for_it || b == Speaks::for_it) return Speaks::for_it;
    return a == Speaks::against_it || b == Speaks::against_it ? Speaks::against_it : Speaks::not_at_all;
}

/// The finding in words: "elevation limited, forced duction restricted".
std::string told(Movement m, const MovementFinding& f) {
    std::vector<std::string> words = tests_in_words(f);
    if (!f.range) return words.empty() ? in_words(m) : say("movement.with_tests_alone", {{"movement", in_words(m)}, {"tests", joined(words, ", ")}});
    words.insert(words.begin(), say("movement.with_range", {{"movement", in_words(m)}, {"range", in_words(*f.range)}}));
    return joined(words, ", ");
}

Speaks speaks(Mechanism mechanism, Movement m, const MovementFinding& f, const std::vector<MuscleName>& in_sector) {
    const std::optional<Pair> pair = recti_of(m);
    const auto touches = [&](MuscleName muscle) { return std::find(in_sector.begin(), in_sector.end(), muscle) != in_sector.end(); };
    switch (mechanism) {
        case Mechanism::mass_blocks_rotation: return held_back(f);
        case Mechanism::muscle_stretched_or_adherent: {
            if (!pair) return Speaks::not_at_all;
            const Speaks felt = held_back(f);
            return felt == Speaks::for_it && !touches(pair->agonist) && !touches(pair->antagonist) ? Speaks::against_it : felt;
        }
        case Mechanism::muscle_bound_by_capsule: {
            if (!pair) return Speaks::not_at_all;
            const Speaks weakened = touches(pair->agonist) ? weak(f) : Speaks::against_it, tethered = touches(pair->antagonist) ? held_back(f) : Speaks::against_it;
            return is_disturbed(f) || f.range ? either(weakened, tethered) : Speaks::not_at_all;
        }
        case Mechanism::muscle_cut_or_slipped: return pair ? weak(f) : Speaks::not_at_all;
        case Mechanism::oblique_trapped:
            // Vertical movements in adduction are the oblique muscles'.
            return pair ? Speaks::not_at_all : either(held_back(f), weak(f));
        case Mechanism::globe_displaced: return is_disturbed(f) ? Speaks::against_it : Speaks::not_at_all;
    }
    return Speaks::not_at_all;
}

/// What the deviation and the complaints say, apart from single movements.
Speaks by_alignment(Mechanism mechanism, const EyeExamination& eye, const Deviation& deviation, const std::vector<Symptom>& symptoms) {
    if (mechanism == Mechanism::oblique_trapped && deviation.torsion) return *deviation.torsion == Torsion::none ? Speaks::against_it : Speaks::for_it;
    if (mechanism != Mechanism::globe_displaced) return Speaks::not_at_all;
    bool all_full = true;
    for (const Movement m : {Movement::elevation, Movement::depression, Movement::adduction, Movement::abduction}) all_full = all_full && eye.of(m).range == MovementRange::full && !is_disturbed(eye.of(m));
    const bool deviates = deviation.horizontal.value_or(HorizontalDeviation::none) != HorizontalDeviation::none || deviation.vertical.value_or(VerticalDeviation::none) != VerticalDeviation::none;
    const bool complains = std::find(symptoms.begin(), symptoms.end(), Symptom::double_vision) != symptoms.end();
    return all_full && (deviates || complains) ? Speaks::for_it : Speaks::not_at_all;
}

}  // namespace

bool is_disturbed(const MovementFinding& f) { return f.range == MovementRange::limited || f.forced == ForcedDuction::restricted || f.force == ForceGeneration::reduced; }

FitOfFindings fit_of(Mechanism mechanism, const EyeExamination& eye, const Deviation& deviation, const std::vector<Symptom>& symptoms, const std::vector<MuscleName>& in_sector) {
    FitOfFindings out{Fit::not_told, "", {}, false};
    std::vector<std::string> in_favour, against, undisturbed;
    for (const Movement m : all_movements) {
        const MovementFinding& f = eye.of(m);
        const Speaks said = speaks(mechanism, m, f, in_sector);
        if (said == Speaks::for_it) in_favour.push_back(told(m, f));
        if (said == Speaks::against_it) (is_disturbed(f) ? against : undisturbed).push_back(told(m, f));
        out.explains[static_cast<std::size_t>(m)] = said == Speaks::for_it;
    }
    const Speaks aligned = by_alignment(mechanism, eye, deviation, symptoms);
    if (aligned == Speaks::for_it) in_favour.push_back(mechanism == Mechanism::oblique_trapped ? in_words(*deviation.torsion) : say("fit.misaligned"));
    if (aligned == Speaks::against_it) against.push_back(in_words(Torsion::none));
    out.explains_deviation = aligned == Speaks::for_it;
    const auto list = [](const std::vector<std::string>& findings) { return joined(findings, "; "); };
    if (!in_favour.empty()) {
        out.fit = Fit::fits;
        out.why = against.empty() ? say("fit.for_it", {{"findings", list(in_favour)}}) : say("fit.for_it_in_part", {{"findings", list(in_favour)}, {"unexplained", list(against)}});
    } else if (!against.empty() || !undisturbed.empty()) {
        out.fit = Fit::does_not_fit;
        out.why = say("fit.against_it", {{"findings", list(against.empty() ? undisturbed : against)}});
    } else {
        out.why = say("fit.no_bearing");
    }
    return out;
}

}  // namespace perisclera::report
