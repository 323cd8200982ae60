// SPDX-License-Identifier: Apache-2.0
// Where a globe lies in the head, which way it looks and whether its muscles reach it, in a practitioner's words.
#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

std::string verdict(ForwardPlace place) {
    switch (place) {
        case ForwardPlace::in_front: return say("globe_place.in_front");
        case ForwardPlace::behind: return say("globe_place.behind");
        case ForwardPlace::within_usual: return say("globe_place.within_usual");
        case ForwardPlace::not_determinable: break;
    }
    return say("globe_place.not_determinable");
}

}  // namespace

std::string place_sentence(const MassEffect& position) {
    if (is_not_assessed(position.anterior)) return "";
    if (!position.anterior.has_value()) return say("globe_place.unmeasured", {{"reason", in_words(position.anterior)}});
    std::vector<std::string> sentences{say("globe_place.against_fellow", {{"forwards", change_in_words(position.anterior)},
                                                                         {"upwards", change_in_words(position.superior)},
                                                                         {"left", change_in_words(position.left)},
                                                                         {"verdict", verdict(position.forward_place)}})};
    if (position.rear_margin_behind.has_value())
        sentences.push_back(say("globe_place.against_line", {{"rear", in_words(position.rear_margin_behind)}, {"cornea", in_words(position.cornea_in_front)}}));
    return joined(sentences, " ");
}

std::string turn_sentence(const MassEffect& position) {
    if (!position.turned_left.has_value()) return "";
    return say("globe_place.turn", {{"left", change_in_words(position.turned_left)},
                                    {"up", change_in_words(position.turned_up)},
                                    {"converging", change_in_words(position.converging)},
                                    {"higher", change_in_words(position.higher_than_fellow)}});
}

std::string muscle_sentence(const EyeEntry& eye) {
    std::vector<std::string> names;
    for (const MuscleEntry& m : eye.muscles)
        if (m.continuity == Continuity::interrupted) names.push_back(in_words(m.muscle));
    return names.empty() ? "" : say("muscle.detached", {{"muscles", joined(names, ", ")}});
}

}  // namespace perisclera::report
