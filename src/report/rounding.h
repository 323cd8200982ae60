// SPDX-License-Identifier: Apache-2.0
#pragma once
// To how many decimals a number is written: once for report.json and for the objects that are filed, so that both say the same.
#include <cmath>
#include <optional>
#include <string>

#include "perisclera/core/text.h"
#include "perisclera/report/report_model.h"

namespace perisclera::report {

template <class Unit>
inline constexpr int decimals_of = 2;
template <>
inline constexpr int decimals_of<CubicMillimetreUnit> = 1;
template <>
inline constexpr int decimals_of<HounsfieldUnit> = 1;
template <>
inline constexpr int decimals_of<HounsfieldMillimetreUnit> = 1;
template <>
inline constexpr int decimals_of<PercentUnit> = 1;
template <>
inline constexpr int decimals_of<FractionUnit> = 4;
template <>
inline constexpr int decimals_of<StatedUnit> = 4;
inline constexpr int hour_decimals = decimals_of<ClockHourUnit>;
inline constexpr int direction_decimals = 6;
inline constexpr int probability_decimals = 4;

inline double rounded(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    const double r = std::round(value * scale) / scale;
    return r == 0.0 ? 0.0 : r;  // no "-0.0"
}

/// The multiple of 12 that brings these hours into [0, 12) once they are rounded.
inline double wrap_shift(double hours) { return std::isfinite(hours) ? -12.0 * std::floor(rounded(hours, hour_decimals) / 12.0) : 0.0; }

/// A value and the ends of its 95 % interval, as written.
struct Stated {
    double value, low, high;
};

/// Every number moved by `shift` before it is rounded. Nothing where there is no value to state.
template <class Unit>
std::optional<Stated> stated(const Measurement<Quantity<Unit>>& m, double shift = 0.0) {
    const auto* measured = m.measured();
    if (!measured) return std::nullopt;
    const double value = measured->value().value(), low = measured->low().value(), high = measured->high().value();
    if (!std::isfinite(value) || !std::isfinite(low) || !std::isfinite(high)) return std::nullopt;
    const auto written = [shift](double number) { return rounded(number + shift, decimals_of<Unit>); };
    return Stated{written(value), written(low), written(high)};
}

/// A place on the dial; the ends of its interval may pass 0 or 12.
inline std::optional<Stated> stated_position(const Measurement<ClockHours>& m) {
    const auto* measured = m.measured();
    return stated(m, measured ? wrap_shift(measured->value().value()) : 0.0);
}

/// Why stated() has nothing to say.
template <class Q>
std::string why_not_stated(const Measurement<Q>& m) {
    const auto* reason = m.unmeasured();
    if (!reason) return say("reason.no_interval");
    return reason->why.empty() ? say("reason.none_given") : reason->why;
}

}  // namespace perisclera::report
