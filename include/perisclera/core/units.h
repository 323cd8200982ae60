// SPDX-License-Identifier: Apache-2.0
#pragma once
// Physical quantities as types: millimetres never meet Hounsfield units or degrees by accident.
// Bare double is left for ratios and for the inside of numeric kernels; .value() unwraps once, there.
#include <compare>

namespace perisclera {

/// A number with a unit. Construction is explicit; arithmetic exists only where the unit survives it.
template <class Unit>
class Quantity {
public:
    constexpr Quantity() = delete;
    constexpr explicit Quantity(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }
    constexpr auto operator<=>(const Quantity&) const = default;

    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value_ + b.value_); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value_ - b.value_); }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.value_); }
    friend constexpr Quantity operator*(Quantity a, double s) { return Quantity(a.value_ * s); }
    friend constexpr Quantity operator*(double s, Quantity a) { return Quantity(a.value_ * s); }
    friend constexpr Quantity operator/(Quantity a, double s) { return Quantity(a.value_ / s); }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }

private:
    double value_;
};

struct MillimetreUnit { static constexpr const char* symbol = "mm"; };
struct SquareMillimetreUnit { static constexpr const char* symbol = "mm2"; };
struct CubicMillimetreUnit { static constexpr const char* symbol = "mm3"; };
struct HounsfieldUnit { static constexpr const char* symbol = "HU"; };
struct HounsfieldMillimetreUnit { static constexpr const char* symbol = "HU*mm"; };
struct DegreeUnit { static constexpr const char* symbol = "deg"; };
struct ClockHourUnit { static constexpr const char* symbol = "clock hours"; };
struct PercentUnit { static constexpr const char* symbol = "%"; };
struct FractionUnit { static constexpr const char* symbol = "1"; };
struct CubicMillimetrePerYearUnit { static constexpr const char* symbol = "mm3/year"; };

using Mm = Quantity<MillimetreUnit>;
using Mm2 = Quantity<SquareMillimetreUnit>;
using Mm3 = Quantity<CubicMillimetreUnit>;
using Hu = Quantity<HounsfieldUnit>;
using HuMm = Quantity<HounsfieldMillimetreUnit>;
using Degrees = Quantity<DegreeUnit>;
using ClockHours = Quantity<ClockHourUnit>;  ///< a span or a position in hours; positions are ClockPosition
using Percent = Quantity<PercentUnit>;
using Fraction = Quantity<FractionUnit>;
using Mm3PerYear = Quantity<CubicMillimetrePerYearUnit>;

constexpr Mm2 operator*(Mm a, Mm b) { return Mm2(a.value() * b.value()); }
constexpr Mm3 operator*(Mm2 a, Mm b) { return Mm3(a.value() * b.value()); }
constexpr Mm3 operator*(Mm a, Mm2 b) { return Mm3(a.value() * b.value()); }
constexpr HuMm operator*(Hu a, Mm b) { return HuMm(a.value() * b.value()); }

}  // namespace perisclera
