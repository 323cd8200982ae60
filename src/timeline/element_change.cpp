// SPDX-License-Identifier: Apache-2.0
#include "perisclera/timeline/element_change.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/clock_position.h"
#include "perisclera/core/text.h"
#include "perisclera/timeline/one_number.h"
#include "perisclera/timeline/remnant.h"

namespace perisclera {

namespace {

constexpr double z95 = 1.96, z99 = 2.576;
/// Two kinds of series see different edges: standard uncertainty of the logarithm of the bias between them, the bias itself 0. Of drawn hydrogels (seeds 1 and 2 of tests/growth.sh) T2 gave
/// 25 volumes 3 % above the truth in the mean, CT seven 1 %; seven on CT and then on T2 differ by -15 % ± 11 % (standard uncertainty), within what both state: no bias is shown.
constexpr double unlike_methods = 0.15;

/// Later over earlier, and the standard uncertainty of its logarithm: relative uncertainties of a quotient add in squares, less twice their correlated part
/// (JCGM 100:2008, 5.1.6 and 5.2.2).
struct Ratio {
    double value;
    double if_unchanged;      ///< standard uncertainty of the logarithm, had the element stayed the same
    double log_uncertainty;   ///< the same of the change that was measured
};

/// What is shared by an element that stayed the same is shared less by one that changed, and not at all once it is another: an error that goes with the size does so
/// with the part that is the same. With the squared loss of that part it fades slowly at first (an assumption; docs/measurements.md says how it was tried).
double shared_after_change(double shared, double ratio) {
    const double another = 1.0 - std::min(ratio, 1.0 / ratio);
    return shared * (1.0 - another * another);
}

template <class Q>
double relative_uncertainty(const Measured<Q>& q) { return q.standard_uncertainty() / q.value(); }

/// Nothing without both values, or where one is no size.
template <class Q>
std::optional<Ratio> ratio_of(const Measurement<Q>& before, const Measurement<Q>& after, double shared, double extra) {
    const Measured<Q>*a = before.measured(), *b = after.measured();
    if (!a || !b || !(a->value().value() > 0.0) || !(b->value().value() > 0.0)) return std::nullopt;
    const double u = relative_uncertainty(*a), v = relative_uncertainty(*b), ratio = b->value() / a->value();
    const auto uncertainty = [&](double in_common) { return std::sqrt(u * u + v * v - 2.0 * in_common * u * v + extra * extra); };
    return Ratio{ratio, uncertainty(shared), uncertainty(shared_after_change(shared, ratio))};
}

/// Of volumes. Where both rest on layers of one make, their thicknesses are fitted under one CT number; what the make leaves open is the same at both dates, and of what is left of both
/// uncertainties the same part is shared as otherwise.
struct VolumeRatio {
    Ratio ratio;
    bool under_one_number;
};
std::optional<VolumeRatio> volume_ratio(const ElementMeasurements& before, const ElementMeasurements& after, double shared, double extra) {
    const std::optional<Ratio> apart = ratio_of(before.volume, after.volume, shared, extra);
    if (!apart) return std::nullopt;
    if (!before.by_number || !after.by_number) return VolumeRatio{*apart, false};
    const ThicknessByNumber &a = *before.by_number, &b = *after.by_number;
    const auto left_of = [](const Measurement<Mm3>& volume, const ThicknessByNumber& t) {
        const double all = relative_uncertainty(*volume.measured()), of_thickness = t.uncertainty_mm / t.thickness_mm;
        return std::sqrt(std::max(all * all - of_thickness * of_thickness - t.of_make * t.of_make, 0.0));
    };
    const double u = left_of(before.volume, a), v = left_of(after.volume, b);
    const auto if_unchanged = thickness_under_one_number(a, b, shared);
    if (!if_unchanged) return VolumeRatio{*apart, false};
    const double ratio = apart->value * a.thickness_mm / b.thickness_mm * std::exp(if_unchanged->value), as_changed = shared_after_change(shared, ratio);
    const auto measured = thickness_under_one_number(a, b, as_changed);
    const auto uncertainty = [&](double of_thickness, double in_common, double of_make) {
        const double of_both = a.of_make * a.of_make + b.of_make * b.of_make - 2.0 * of_make * a.of_make * b.of_make;
        return std::sqrt(of_thickness * of_thickness + of_both + u * u + v * v - 2.0 * in_common * u * v + extra * extra);
    };
    return VolumeRatio{{ratio, uncertainty(if_unchanged->uncertainty, shared, 1.0), uncertainty(measured->uncertainty, as_changed, shared_after_change(1.0, ratio))}, true};
}

Percent percent_of(double ratio) { return Percent(100.0 * (ratio - 1.0)); }

/// Log-normal: a loss never exceeds the whole.
Measurement<Percent> as_measurement(const std::optional<Ratio>& r) {
    if (!r) return Unmeasured{say("reason.not_at_both_dates")};
    const double factor = std::exp(z95 * r->log_uncertainty);
    return Measured<Percent>(percent_of(r->value), percent_of(r->value / factor), percent_of(r->value * factor));
}

/// Growing and shrinking weigh alike. At 99 % it did not stay the same, and the interval of what it did leaves out that it did.
ChangeVerdict verdict_of(const Ratio& r) {
    const double beyond = std::max(z99 * r.if_unchanged, z95 * r.log_uncertainty), log_ratio = std::log(r.value);
    return log_ratio > beyond ? ChangeVerdict::enlarged : log_ratio < -beyond ? ChangeVerdict::shrunk : ChangeVerdict::unchanged;
}

Measurement<Mm> difference(const Measurement<Mm>& from, const Measurement<Mm>& to) {
    const Measured<Mm>*a = from.measured(), *b = to.measured();
    if (!a || !b) return Unmeasured{say("reason.not_at_both_dates")};
    return Measured<Mm>::from_standard_uncertainty(b->value() - a->value(), Mm(std::hypot(a->standard_uncertainty().value(), b->standard_uncertainty().value())));
}

}  // namespace

ElementChange compare_elements(const ElementMeasurements& before, const ElementMeasurements& after, bool same_method, double shared) {
    const double extra = same_method ? 0.0 : unlike_methods;
    const std::optional<VolumeRatio> fitted = volume_ratio(before, after, shared, extra);
    const std::optional<Ratio> volume = fitted ? std::optional(fitted->ratio) : std::nullopt;
    ElementChange change{same_method,
                         fitted && fitted->under_one_number,
                         as_measurement(volume),
                         std::nullopt,
                         as_measurement(ratio_of(before.largest_section.area, after.largest_section.area, 0.0, extra)),
                         difference(before.largest_section.thickness, after.largest_section.thickness),
                         // Towards the limbus is positive: the earlier distance less the later one.
                         difference(after.limbus_anterior, before.limbus_anterior),
                         ChangeVerdict::not_comparable};
    if (!volume) {
        const Unmeasured* why = before.volume.unmeasured() != nullptr ? before.volume.unmeasured() : after.volume.unmeasured();
        if (why != nullptr) change.volume = Unmeasured{say("reason.not_measured_at_both", {{"why", why->why}})};
        return change;
    }
    change.smallest_detectable = percent_of(std::exp(z95 * volume->if_unchanged));
    change.verdict = verdict_of(*volume);
    if (change.verdict == ChangeVerdict::shrunk && same_method && is_remnant(before, after, volume->log_uncertainty)) change.verdict = ChangeVerdict::partly_removed;
    return change;
}

bool likely_same(const ElementMeasurements& a, const ElementMeasurements& b, double radius_mm) {
    if (a.form == ElementForm::encircling && b.form == ElementForm::encircling) return true;
    const double apart = ClockPosition(a.middle_clock_hour).distance_to(ClockPosition(b.middle_clock_hour)).value();
    return apart < 2.0 && std::abs(a.middle_polar - b.middle_polar) * radius_mm < 7.0;
}

}  // namespace perisclera
