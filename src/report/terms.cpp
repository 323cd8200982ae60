// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/terms.h"

namespace perisclera::report {

namespace {

// The words stand in the order of the enumerators.
template <std::size_t N, class Term>
std::string_view word(const std::array<std::string_view, N>& words, Term term) {
    return words.at(static_cast<std::size_t>(term));
}

using W = std::string_view;

}  // namespace

std::string_view name(GlobeStatus t) { return word(std::array{W("found"), W("not_found"), W("not_imaged")}, t); }

std::string_view name(GlobeContents t) {
    return word(std::array{W("vitreous"), W("silicone_oil"), W("gas"), W("haemorrhage"), W("mixed"), W("undetermined")}, t);
}

std::string_view name(Lens t) { return word(std::array{W("natural"), W("implant"), W("none"), W("undetermined")}, t); }

std::string_view name(MuscleName t) { return word(std::array{W("superior"), W("inferior"), W("medial"), W("lateral")}, t); }

std::string_view name(Continuity t) { return word(std::array{W("continuous"), W("interrupted"), W("not_determinable")}, t); }

std::string_view name(MuscleRelation t) {
    return word(std::array{W("beneath_muscle"), W("in_front_of_insertion"), W("through_or_superficial"), W("not_crossed"), W("not_determinable")}, t);
}

std::string_view name(Sign t) { return word(std::array{W("seen"), W("not_seen"), W("not_assessable")}, t); }

std::string_view name(MetalStatus t) { return word(std::array{W("seen"), W("not_seen_on_ct"), W("not_assessable")}, t); }

std::string_view name(Presence t) { return word(std::array{W("present"), W("absent"), W("uncertain")}, t); }

std::string_view name(Form t) { return word(std::array{W("encircling"), W("segmental"), W("radial"), W("irregular")}, t); }

std::string_view name(WallRelation t) {
    return word(std::array{W("outside"), W("indenting"), W("possible_intrusion"), W("not_determinable")}, t);
}

std::string_view name(JunctionKind t) { return word(std::array{W("overlap"), W("sleeve"), W("clip"), W("unknown"), W("not_seen")}, t); }

std::string_view name(Feature t) { return word(std::array{W("seen"), W("not_seen"), W("undetermined")}, t); }

std::string_view name(Material t) { return word(std::array{W("solid_silicone"), W("silicone_sponge"), W("hydrogel"), W("other")}, t); }

std::string_view name(NextStudy t) { return word(std::array{W("ct"), W("t1"), W("t2"), W("second_ct_energy"), W("none")}, t); }

std::string_view name(MaterialCaution t) {
    return word(std::array{W("infection_not_excluded"), W("tumour_or_abscess_not_excluded"), W("gas_outside_element"), W("outside_table"), W("water_disagrees"), W("swelling_disagrees"), W("growth_without_water")}, t);
}

std::string_view name(ForwardPlace t) { return word(std::array{W("in_front"), W("behind"), W("within_usual"), W("not_determinable")}, t); }
std::string_view name(Verdict t) {
    return word(std::array{W("enlarged"), W("unchanged"), W("shrunk"), W("removed"), W("partly_removed"), W("new"), W("not_comparable")}, t);
}

std::string_view name(Basis t) { return word(std::array{W("published"), W("common_practice")}, t); }

}  // namespace perisclera::report
