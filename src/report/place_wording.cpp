// SPDX-License-Identifier: Apache-2.0
// Where a globe lies in the head, which way it looks and whether its muscles reach it, in a practitioner's words.
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string verdict(ForwardPlace place) {
    switch (place) {
        case ForwardPlace::in_front: return "farther forward than its fellow beyond what is usual, at its centre and at its rear margin";
        case ForwardPlace::behind: return "farther back than its fellow beyond what is usual, at its centre and at its rear margin";
        case ForwardPlace::within_usual: return "no farther forward or back than usual";
        case ForwardPlace::not_determinable: break;
    }
    return "not shown to lie farther forward or back than usual";
}

}  // namespace

std::string place_sentence(const MassEffect& position) {
    if (is_not_assessed(position.anterior)) return "";
    if (!position.anterior.has_value()) return "Place of the globe: " + in_words(position.anterior) + ".";
    std::string words = "Place of the globe's centre against the mirrored fellow eye: forwards " + change_in_words(position.anterior) + ", upwards " + change_in_words(position.superior) +
                        ", to the patient's left " + change_in_words(position.left) + "; " + verdict(position.forward_place) + " (within 2 mm in more than 90 % of people).";
    if (position.rear_margin_behind.has_value())
        words += " Behind the interzygomatic line the rear margin lies " + in_words(position.rear_margin_behind) + " (published 5.9 to 12.8 mm); in front of it the cornea " +
                 in_words(position.cornea_in_front) + " (published means 15.6 and 12.5 mm).";
    return words;
}

std::string turn_sentence(const MassEffect& position) {
    if (!position.turned_left.has_value()) return "";
    return "Turn of the eye's axis in the head: to the patient's left " + change_in_words(position.turned_left) + ", upwards " + change_in_words(position.turned_up) + "; both axes converge by " +
           change_in_words(position.converging) + ", against the fellow eye upwards " + change_in_words(position.higher_than_fellow) + ".";
}

std::string muscle_sentence(const EyeEntry& eye) {
    std::string names;
    for (const MuscleEntry& m : eye.muscles)
        if (m.continuity == Continuity::interrupted) names += (names.empty() ? "" : ", ") + std::string(name(m.muscle));
    return names.empty() ? "" : "Rectus muscles that end behind the globe with fat in front of them, as after a detachment or an operation: " + names + ".";
}

}  // namespace perisclera::report
