// SPDX-License-Identifier: Apache-2.0
#include "muscle_relation.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

using namespace report;

/// Arc from the limbus to the insertion, mm: the lowest and the highest of three published means (handbook: medial 5.5, inferior 6.5, lateral 6.9,
/// superior 7.7; at surgery: 4.5 in 675 eyes, 5.67 in 22, 6.20 in 493, 6.64 in 21; in 60 cadaver eyes: medial 6.4, superior 8.1).
struct PublishedInsertion {
    double lowest, highest;
};
constexpr std::array<PublishedInsertion, 4> insertions{{{6.64, 8.1}, {5.67, 6.5}, {4.5, 6.4}, {6.2, 6.9}}};   // as all_recti
/// Of single eyes about the mean (Yalcin B et al., Gulhane Med J 2004;49:271-275).
constexpr double spread_mm = 0.5;

Measured<Mm> insertion(Rectus rectus) {
    const PublishedInsertion& p = insertions[static_cast<std::size_t>(rectus)];
    return {Mm(0.5 * (p.lowest + p.highest)), Mm(p.lowest - 1.96 * spread_mm), Mm(p.highest + 1.96 * spread_mm)};
}

ClockPosition meridian(Rectus rectus, Eye eye) {
    switch (rectus) {
        case Rectus::superior: return ClockPosition(0.0);
        case Rectus::inferior: return ClockPosition(6.0);
        case Rectus::medial: return ClockPosition(eye == Eye::right ? 3.0 : 9.0);
        case Rectus::lateral: break;
    }
    return ClockPosition(eye == Eye::right ? 9.0 : 3.0);
}

/// Half the width of an insertion (superior 10.5, inferior 8.4 mm, same source) on the equator of a 24 mm globe, in clock hours; and how far
/// muscles depart from the clock's quarters (assumed).
constexpr double half_width_hours = 0.85, off_quarter_hours = 0.2;

enum class Crossing { none, crossed, unsure };

/// Signed hours from the muscle's meridian, clockwise, within half a turn.
double from_meridian(ClockPosition place, ClockPosition at) {
    const double clockwise = at.clockwise_to(place).value();
    return clockwise > 6.0 ? clockwise - 12.0 : clockwise;
}

Crossing crossing(const ElementEntry& element, ClockPosition at) {
    const Measured<ClockHours>* from = element.from.measured();
    const Measured<ClockHours>* to = element.to.measured();
    const Measured<ClockHours>* span = element.span.measured();
    if (from == nullptr || to == nullptr || span == nullptr) return Crossing::unsure;
    if (span->low().value() >= 12.0) return Crossing::crossed;
    const double start_doubt = std::max((from->high() - from->value()).value(), (from->value() - from->low()).value());
    const double end_doubt = std::max((to->high() - to->value()).value(), (to->value() - to->low()).value());
    const ClockPosition start(from->value().value());
    const double to_meridian = start.clockwise_to(at).value();   // hours on from the element's start
    const double length = span->value().value();
    const bool within = to_meridian <= length;
    const double from_start = std::min(to_meridian, 12.0 - to_meridian), from_end = std::abs(from_meridian(ClockPosition(to->value().value()), at));
    if (within) return from_start >= start_doubt + off_quarter_hours && from_end >= end_doubt + off_quarter_hours ? Crossing::crossed : Crossing::unsure;
    constexpr double clear = half_width_hours + off_quarter_hours;
    return from_start >= start_doubt + clear && from_end >= end_doubt + clear ? Crossing::none : Crossing::unsure;
}

}  // namespace

MuscleElement relation_by_place(const ElementEntry& element, Rectus rectus, Eye eye) {
    MuscleElement out{element.id, MuscleRelation::not_determinable, Unmeasured{say("muscle_place.near_its_edge")}};
    switch (crossing(element, meridian(rectus, eye))) {
        case Crossing::none: return {element.id, MuscleRelation::not_crossed, Unmeasured{say("muscle_place.not_crossed")}};
        case Crossing::unsure: return out;
        case Crossing::crossed: break;
    }
    const Measured<Mm>* front = element.limbus_anterior.measured();
    const Measured<Mm>* rear = element.limbus_posterior.measured();
    if (front == nullptr || rear == nullptr) {
        out.front_edge_to_insertion = Unmeasured{say("muscle_place.no_edge")};
        return out;
    }
    const Measured<Mm> inserted = insertion(rectus);
    const auto together = [](Mm a, Mm b) { return Mm(std::hypot(a.value(), b.value())); };
    const Mm distance = front->value() - inserted.value();
    out.front_edge_to_insertion = Measured<Mm>(distance, distance - together(front->value() - front->low(), inserted.high() - inserted.value()),
                                               distance + together(front->high() - front->value(), inserted.value() - inserted.low()));
    if (rear->high() < inserted.low()) out.relation = MuscleRelation::in_front_of_insertion;
    return out;
}

}  // namespace perisclera
