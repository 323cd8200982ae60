// SPDX-License-Identifier: Apache-2.0
#pragma once
// The report's measurements as items of a structured document: the same rounded numbers as in report.json, with unit and 95 % interval; where there is no number, why.
#include <functional>

#include "perisclera/report/wording.h"
#include "src/report/content_tree.h"
#include "src/report/private_codes.h"
#include "src/report/rounding.h"

namespace perisclera::report {

template <class Unit>
inline constexpr Code unit_code = codes::no_units;
template <>
inline constexpr Code unit_code<MillimetreUnit> = codes::millimetre;
template <>
inline constexpr Code unit_code<SquareMillimetreUnit> = codes::square_millimetre;
template <>
inline constexpr Code unit_code<CubicMillimetreUnit> = codes::cubic_millimetre;
template <>
inline constexpr Code unit_code<HounsfieldMillimetreUnit> = codes::hounsfield_millimetre;
template <>
inline constexpr Code unit_code<DegreeUnit> = codes::degree;
template <>
inline constexpr Code unit_code<ClockHourUnit> = codes::clock_hour;
template <>
inline constexpr Code unit_code<PercentUnit> = codes::percent;
template <>
inline constexpr Code unit_code<CubicMillimetrePerYearUnit> = codes::cubic_millimetre_per_year;

/// How far the 95 % interval reaches below and above the value (PS3.16 TID 310). Decimals are those of the value.
void put_interval(ContentTree& tree, const Stated& number, const Code& unit, int decimals);
/// The missing number and its reason.
void put_missing(ContentTree& tree, Relation relation, const Code& about, bool attempted, const std::string& why, const ContentTree::Children& more);

template <class Unit>
void put_measurement(ContentTree& tree, const Code& about, const Measurement<Quantity<Unit>>& m, const std::optional<Stated>& number, const Code& unit,
                            const ContentTree::Children& more = {}, Relation relation = Relation::contains) {
    if (!number) return put_missing(tree, relation, about, !is_not_assessed(m), why_not_stated(m), more);
    tree.number(relation, about, number->value, unit, [&] {
        if (more) more();
        put_interval(tree, *number, unit, decimals_of<Unit>);
    });
}

template <class Unit>
void put_measurement(ContentTree& tree, const Code& about, const Measurement<Quantity<Unit>>& m, const ContentTree::Children& more = {}, Relation relation = Relation::contains) {
    put_measurement(tree, about, m, stated(m), unit_code<Unit>, more, relation);
}

/// A number without an interval; nothing where there is none.
template <class Unit>
void put_plain(ContentTree& tree, const Code& about, const std::optional<Quantity<Unit>>& q) {
    if (q && std::isfinite(q->value())) tree.number(Relation::contains, about, rounded(q->value(), decimals_of<Unit>), unit_code<Unit>);
}

inline Code side(Eye eye) { return eye == Eye::right ? codes::right : codes::left; }

}  // namespace perisclera::report
