// SPDX-License-Identifier: Apache-2.0
#include "second_look.h"

#include <algorithm>
#include <cmath>

#include "perisclera/timeline/element_change.h"

namespace perisclera {

bool confirms(const std::vector<AnalysedElement>& first, const std::vector<AnalysedElement>& second, const std::vector<double>& radius_mm) {
    const auto piece_of = [&](const AnalysedElement& piece, const AnalysedElement& ring) {
        constexpr double beside_mm = 2.5;   // less than half of what tires are wide: assumed
        const bool one_material = piece.opinion.label == ring.opinion.label || !piece.opinion.label;
        return ring.measured.form == ElementForm::encircling && piece.measured.form != ElementForm::encircling && piece.element.view == ring.element.view && one_material &&
               std::abs(piece.measured.middle_polar - ring.measured.middle_polar) * radius_mm[ring.element.view] <= beside_mm;
    };
    const auto same = [&](const AnalysedElement& a, const AnalysedElement& b) {
        return !piece_of(a, b) && a.element.view == b.element.view && a.opinion.label == b.opinion.label && likely_same(a.measured, b.measured, radius_mm[a.element.view]);
    };
    const auto count_in = [](const std::vector<AnalysedElement>& all, auto&& which) { return static_cast<std::size_t>(std::count_if(all.begin(), all.end(), which)); };
    const std::size_t kept = count_in(first, [&](const AnalysedElement& f) { return count_in(second, [&](const AnalysedElement& s) { return same(f, s); }) > 0; });
    const std::size_t pieces = count_in(first, [&](const AnalysedElement& f) { return count_in(second, [&](const AnalysedElement& s) { return piece_of(f, s); }) > 0; });
    const std::size_t rings = count_in(second, [&](const AnalysedElement& s) { return count_in(first, [&](const AnalysedElement& f) { return piece_of(f, s); }) > 0; });
    return kept + pieces == first.size() && kept + rings == second.size();
}

}  // namespace perisclera
