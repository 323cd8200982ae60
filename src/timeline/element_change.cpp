// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/element_change.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/clock_position.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double z95 = 1.96, z99 = 2.576;
/// Two kinds of series see different edges (an assumption, to be replaced by measured bias).
constexpr double unlike_methods = 0.15;

struct Ratio {
    double percent, uncertainty;
};

template <class Q>
std::optional<Ratio> ratio_of(const Measurement<Q>& before, const Measurement<Q>& after, double extra) {
    const Measured<Q>*a = before.measured(), *b = after.measured();
    if (!a || !b || !(a->value().value() > 0.0)) return std::nullopt;
    const double r = b->value() / a->value();
    const double relative_a = a->standard_uncertainty() / a->value();
    const double relative_b = b->value().value() > 0.0 ? b->standard_uncertainty() / b->value() : 0.0;
    return Ratio{100.0 * (r - 1.0), 100.0 * r * std::sqrt(relative_a * relative_a + relative_b * relative_b + extra * extra)};
}

Measurement<Percent> as_measurement(const std::optional<Ratio>& r) {
    if (!r) return Unmeasured{say("reason.not_at_both_dates")};
    return Measured<Percent>::from_standard_uncertainty(Percent(r->percent), Percent(r->uncertainty));
}

Measurement<Mm> difference(const Measurement<Mm>& from, const Measurement<Mm>& to) {
    const Measured<Mm>*a = from.measured(), *b = to.measured();
    if (!a || !b) return Unmeasured{say("reason.not_at_both_dates")};
    return Measured<Mm>::from_standard_uncertainty(b->value() - a->value(), Mm(std::hypot(a->standard_uncertainty().value(), b->standard_uncertainty().value())));
}

}  // namespace

ElementChange compare_elements(const ElementMeasurements& before, const ElementMeasurements& after, bool same_method) {
    const double extra = same_method ? 0.0 : unlike_methods;
    const std::optional<Ratio> volume = ratio_of(before.volume, after.volume, extra);
    ElementChange change{same_method,
                         as_measurement(volume),
                         std::nullopt,
                         as_measurement(ratio_of(before.largest_section.area, after.largest_section.area, extra)),
                         difference(before.largest_section.thickness, after.largest_section.thickness),
                         // Towards the limbus is positive: the earlier distance less the later one.
                         difference(after.limbus_anterior, before.limbus_anterior),
                         ChangeVerdict::not_comparable};
    if (!volume) return change;
    const Measured<Mm3>*a = before.volume.measured(), *b = after.volume.measured();
    // If nothing had changed, the second visit would read the first one's volume with its own uncertainty.
    const double relative_a = a->standard_uncertainty() / a->value();
    const double relative_b = std::max(b->standard_uncertainty() / std::max(b->value(), Mm3(1e-6)), 0.0);
    change.smallest_detectable = Percent(100.0 * z95 * std::sqrt(relative_a * relative_a + relative_b * relative_b + extra * extra));
    // On the logarithmic scale growth and shrinkage weigh alike.
    const double log_ratio = std::log(std::max(1e-6, 1.0 + volume->percent / 100.0));
    const double z = log_ratio / std::max(std::sqrt(relative_a * relative_a + relative_b * relative_b + extra * extra), 1e-9);
    change.verdict = z > z99 ? ChangeVerdict::enlarged : z < -z99 ? ChangeVerdict::shrunk : ChangeVerdict::unchanged;
    return change;
}

bool likely_same(const ElementMeasurements& a, const ElementMeasurements& b, double radius_mm) {
    if (a.form == ElementForm::encircling && b.form == ElementForm::encircling) return true;
    const double apart = ClockPosition(a.middle_clock_hour).distance_to(ClockPosition(b.middle_clock_hour)).value();
    return apart < 2.0 && std::abs(a.middle_polar - b.middle_polar) * radius_mm < 7.0;
}

}  // namespace perisclera
