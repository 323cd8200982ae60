// SPDX-License-Identifier: Apache-2.0
#include "src/report/term_words.h"

#include <array>

#include "perisclera/core/text.h"

namespace perisclera::report {

namespace {

using Key = std::string_view;

// The keys stand in the order of the enumerators.
template <std::size_t N, class Term>
std::string said(const std::array<Key, N>& keys, Term term) {
    return say(keys.at(static_cast<std::size_t>(term)));
}

}  // namespace

std::string in_words(Form f) { return said(std::array{Key("form.encircling"), Key("form.segmental"), Key("form.radial"), Key("form.irregular")}, f); }
std::string in_words(Feature f) { return said(std::array{Key("feature.seen"), Key("feature.not_seen"), Key("feature.undetermined")}, f); }

std::string in_words(MuscleName m) { return said(std::array{Key("muscle.superior"), Key("muscle.inferior"), Key("muscle.medial"), Key("muscle.lateral")}, m); }
std::string rectus_in_words(MuscleName m) {
    return said(std::array{Key("muscle.superior_rectus"), Key("muscle.inferior_rectus"), Key("muscle.medial_rectus"), Key("muscle.lateral_rectus")}, m);
}
std::string in_words(Continuity c) { return said(std::array{Key("muscle.continuous"), Key("muscle.interrupted"), Key("muscle.not_determinable")}, c); }
std::string in_words(MuscleRelation r) {
    return said(std::array{Key("muscle.beneath"), Key("muscle.in_front_of_insertion"), Key("muscle.through_or_superficial"), Key("muscle.not_crossed"), Key("muscle.not_determinable")}, r);
}

std::string in_words(GlobeStatus s) { return said(std::array{Key("table.globe_found"), Key("table.globe_not_found"), Key("table.globe_not_imaged")}, s); }
std::string in_words(Lens l) { return said(std::array{Key("table.lens_natural"), Key("table.lens_implant"), Key("table.lens_none"), Key("table.lens_undetermined")}, l); }
std::string in_words(Sign s) { return said(std::array{Key("table.sign_seen"), Key("table.sign_not_seen"), Key("table.sign_not_assessable")}, s); }
std::string in_words(MetalStatus s) { return said(std::array{Key("table.metal_seen"), Key("table.metal_not_seen_on_ct"), Key("table.metal_not_assessable")}, s); }
std::string in_words(WallRelation r) {
    return said(std::array{Key("table.wall_outside"), Key("table.wall_indenting"), Key("table.wall_possible_intrusion"), Key("table.wall_not_determinable")}, r);
}
std::string in_words(JunctionKind k) {
    return said(std::array{Key("table.junction_overlap"), Key("table.junction_sleeve"), Key("table.junction_clip"), Key("table.junction_unknown"), Key("table.junction_not_seen")}, k);
}
std::string in_words(ForwardPlace p) {
    return said(std::array{Key("table.place_in_front"), Key("table.place_behind"), Key("table.place_within_usual"), Key("table.place_not_determinable")}, p);
}
std::string in_words(Verdict v) {
    return said(std::array{Key("table.verdict_enlarged"), Key("table.verdict_unchanged"), Key("table.verdict_shrunk"), Key("table.verdict_removed"), Key("table.verdict_partly_removed"), Key("table.verdict_new"),
                           Key("table.verdict_not_comparable")}, v);
}

std::string in_words(Movement m) {
    return said(std::array{Key("movement.elevation"), Key("movement.depression"), Key("movement.adduction"), Key("movement.abduction"), Key("movement.elevation_in_adduction"),
                           Key("movement.depression_in_adduction")}, m);
}
std::string in_words(SlitLampSign s) {
    return said(std::array{Key("slit_lamp.element_not_seen"), Key("slit_lamp.element_seen_through_conjunctiva"), Key("slit_lamp.conjunctiva_raised"), Key("slit_lamp.element_exposed"),
                           Key("slit_lamp.redness"), Key("slit_lamp.discharge")}, s);
}
std::string in_words(HorizontalDeviation d) { return said(std::array{Key("deviation.no_horizontal"), Key("deviation.esotropia"), Key("deviation.exotropia")}, d); }
std::string in_words(VerticalDeviation d) { return said(std::array{Key("deviation.no_vertical"), Key("deviation.right_eye_higher"), Key("deviation.left_eye_higher")}, d); }
std::string in_words(Torsion t) { return said(std::array{Key("deviation.no_torsion"), Key("deviation.excyclotorsion"), Key("deviation.incyclotorsion")}, t); }
std::string in_words(Symptom s) {
    return said(std::array{Key("symptom.none"), Key("symptom.double_vision"), Key("symptom.pain"), Key("symptom.redness"), Key("symptom.swelling"), Key("symptom.foreign_body_sensation"),
                           Key("symptom.discharge"), Key("symptom.reduced_vision")}, s);
}
std::string in_words(MovementRange r) { return say(r == MovementRange::full ? "movement.full" : "movement.limited"); }

std::vector<std::string> tests_in_words(const MovementFinding& f) {
    std::vector<std::string> out;
    if (f.forced) out.push_back(say(*f.forced == ForcedDuction::free ? "movement.forced_duction_free" : "movement.forced_duction_restricted"));
    if (f.force) out.push_back(say(*f.force == ForceGeneration::normal ? "movement.force_normal" : "movement.force_reduced"));
    return out;
}

}  // namespace perisclera::report
