// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/remnant.h"

#include <cmath>

#include "perisclera/core/clock_position.h"

namespace perisclera {

namespace {

constexpr double z95 = 1.96, z99 = 2.576;

bool has_ends(const ElementMeasurements& e) { return e.form == ElementForm::segmental || e.form == ElementForm::irregular; }

template <class Q>
double relative_uncertainty(const Measured<Q>& q) { return q.standard_uncertainty() / q.value(); }

/// Do both agree at 95 %?
template <class Q>
bool agree(const Measurement<Q>& before, const Measurement<Q>& after) {
    const Measured<Q>*a = before.measured(), *b = after.measured();
    return a && b && std::abs((b->value() - a->value()).value()) <= z95 * std::hypot(a->standard_uncertainty().value(), b->standard_uncertainty().value());
}

/// Do the ends of `after` lie between those of `before`, as far as is known? On a ring they lie anywhere.
bool lies_within(const ElementMeasurements& before, const ElementMeasurements& after) {
    if (before.form == ElementForm::encircling) return true;
    const auto *from = before.from.measured(), *span = before.span.measured(), *later_from = after.from.measured(), *later_span = after.span.measured();
    if (!from || !span || !later_from || !later_span) return false;
    const double doubt = z95 * std::hypot(from->standard_uncertainty().value(), later_from->standard_uncertainty().value());
    const double into = std::fmod(later_from->value().value() - from->value().value() + 18.0, 12.0) - 6.0;   // hours from the earlier start to the later one
    return into >= -doubt && into + later_span->value().value() <= span->value().value() + doubt;
}

}  // namespace

bool is_remnant(const ElementMeasurements& before, const ElementMeasurements& after, double volume_uncertainty) {
    const auto *span = before.span.measured(), *later_span = after.span.measured();
    if (!(has_ends(before) || before.form == ElementForm::encircling) || !has_ends(after) || !span || !later_span || !(later_span->value().value() > 0.0)) return false;
    const double lost_volume = std::log(after.volume.measured()->value() / before.volume.measured()->value()), lost_length = std::log(later_span->value() / span->value());
    const double length_uncertainty = std::hypot(relative_uncertainty(*span), relative_uncertainty(*later_span));
    if (!(lost_length < -z99 * length_uncertainty)) return false;
    // Cut away, volume and length lose the same share; shrunk alike in all directions, length loses the third root of it.
    if (std::abs(lost_length - lost_volume) > z95 * std::hypot(length_uncertainty, volume_uncertainty)) return false;
    if (!(lost_length - lost_volume / 3.0 < -z95 * std::hypot(length_uncertainty, volume_uncertainty / 3.0))) return false;
    return agree(before.largest_section.thickness, after.largest_section.thickness) && agree(before.limbus_anterior, after.limbus_anterior) &&
           agree(before.limbus_posterior, after.limbus_posterior) && lies_within(before, after);
}

}  // namespace perisclera
