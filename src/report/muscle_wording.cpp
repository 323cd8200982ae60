// SPDX-License-Identifier: Apache-2.0
#include "src/report/muscle_wording.h"

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/term_words.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

/// The catalogue's text with the usual thickness: mean and two standard deviations on CT (Ozgen A, Ariyurek M, AJR 1998;170:1093-1096).
std::string_view beside_the_usual(MuscleName muscle) {
    switch (muscle) {
        case MuscleName::superior: return "muscle.superior_thickness";
        case MuscleName::inferior: return "muscle.inferior_thickness";
        case MuscleName::medial: return "muscle.medial_thickness";
        case MuscleName::lateral: break;
    }
    return "muscle.lateral_thickness";
}

std::string course(Continuity continuity) {
    switch (continuity) {
        case Continuity::continuous: return say("muscle.course_continuous");
        case Continuity::interrupted: return say("muscle.course_interrupted");
        case Continuity::not_determinable: break;
    }
    return say("muscle.not_determinable");
}

std::string related(const MuscleElement& e) {
    if (const Unmeasured* reason = e.front_edge_to_insertion.unmeasured())
        return say("muscle.element_why", {{"element", e.id}, {"relation", in_words(e.relation)}, {"why", clean_text(reason->why)}});
    const std::string distance = in_words(e.front_edge_to_insertion);
    switch (e.relation) {
        case MuscleRelation::in_front_of_insertion: return say("muscle.element_in_front", {{"element", e.id}, {"distance", distance}});
        case MuscleRelation::not_determinable: return say("muscle.element_crosses", {{"element", e.id}, {"distance", distance}});
        default: return say("muscle.element_related", {{"element", e.id}, {"relation", in_words(e.relation)}, {"distance", distance}});
    }
}

}  // namespace

MuscleWords words_of(const MuscleEntry& muscle) {
    std::vector<std::string> elements;
    for (const MuscleElement& e : muscle.elements) elements.push_back(related(e));
    return {rectus_in_words(muscle.muscle), say(beside_the_usual(muscle.muscle), {{"thickness", in_words(muscle.thickness)}}), course(muscle.continuity), in_words(muscle.insertion),
            elements.empty() ? say("muscle.no_element") : joined(elements, "; ")};
}

}  // namespace perisclera::report
