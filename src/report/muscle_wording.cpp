// SPDX-License-Identifier: Apache-2.0
#include "src/report/muscle_wording.h"

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

/// Mean and two standard deviations on CT (Ozgen A, Ariyurek M, AJR 1998;170:1093-1096).
std::string_view usual_thickness(MuscleName muscle) {
    switch (muscle) {
        case MuscleName::superior: return "with the levator; published 3.2 to 6.1 mm";
        case MuscleName::inferior: return "published 3.2 to 6.5 mm";
        case MuscleName::medial: return "published 3.3 to 5.0 mm";
        case MuscleName::lateral: return "published 1.7 to 4.8 mm";
    }
    return "";
}

std::string course(Continuity continuity) {
    switch (continuity) {
        case Continuity::continuous: return "continuous; its tendon is not followed";
        case Continuity::interrupted: return "interrupted: fat alone in front of its end";
        case Continuity::not_determinable: break;
    }
    return "not determinable";
}

}  // namespace

MuscleWords words_of(const MuscleEntry& muscle) {
    MuscleWords out{std::string(name(muscle.muscle)) + " rectus", in_words(muscle.thickness) + "; " + std::string(usual_thickness(muscle.muscle)), course(muscle.continuity), in_words(muscle.insertion), ""};
    for (const MuscleElement& e : muscle.elements) {
        out.elements += (out.elements.empty() ? "" : "; ") + e.id + ": ";
        const Unmeasured* reason = e.front_edge_to_insertion.unmeasured();
        if (reason != nullptr)
            out.elements += spaced(name(e.relation)) + ", " + clean_text(reason->why);
        else if (e.relation == MuscleRelation::in_front_of_insertion)
            out.elements += say("muscle_place.in_front", {{"distance", in_words(e.front_edge_to_insertion)}});
        else
            out.elements += say("muscle_place.crossed", {{"distance", in_words(e.front_edge_to_insertion)}});
    }
    if (out.elements.empty()) out.elements = "none seen";
    return out;
}

}  // namespace perisclera::report
