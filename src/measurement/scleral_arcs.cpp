// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/scleral_arcs.h"

#include <cmath>

namespace perisclera {

namespace {

/// The same interval about another value, as wide by the same share.
void scale(Measurement<Mm>& length, double factor) {
    if (const auto* m = length.measured()) length = Measured<Mm>(Mm(m->value().value() * factor), Mm(m->low().value() * factor), Mm(m->high().value() * factor));
}

/// Moved, as wide as it was.
void move_to(Measurement<Mm>& length, double value) {
    const auto* m = length.measured();
    const double by = value - m->value().value();
    length = Measured<Mm>(Mm(value), Mm(m->low().value() + by), Mm(m->high().value() + by));
}

}  // namespace

ElementMeasurements with_arcs_on(ElementMeasurements measured, double own_mm, double better_mm) {
    const double factor = better_mm / own_mm;
    scale(measured.largest_section.width, factor);
    for (MeasuredSection& s : measured.sections) scale(s.width, factor);
    const auto from_limbus = [&](Measurement<Mm>& arc, Measurement<Mm>& caliper) {
        const auto* m = arc.measured();
        if (m == nullptr) return;
        const double angle = m->value().value() / own_mm + limbus_angle(own_mm) - limbus_angle(better_mm);
        move_to(arc, angle * better_mm);
        if (caliper.measured() != nullptr) move_to(caliper, 2.0 * better_mm * std::sin(0.5 * angle));
    };
    from_limbus(measured.limbus_anterior, measured.caliper_anterior);
    from_limbus(measured.limbus_posterior, measured.caliper_posterior);
    return measured;
}

}  // namespace perisclera
