// SPDX-License-Identifier: Apache-2.0
#include "src/report/table_words.h"

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
std::string in_words(Feature f) { return said(std::array{Key("feature.seen"), Key("feature.not_seen"), Key("feature.undetermined")}, f); }
std::string in_words(Verdict v) {
    return said(std::array{Key("table.verdict_enlarged"), Key("table.verdict_unchanged"), Key("table.verdict_shrunk"), Key("table.verdict_removed"), Key("table.verdict_partly_removed"), Key("table.verdict_new"),
                           Key("table.verdict_not_comparable")}, v);
}

}  // namespace perisclera::report
