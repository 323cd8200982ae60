// SPDX-License-Identifier: Apache-2.0
#pragma once
// A measurement is a value with its 95 % interval, or the reason why there is none. Neither NaN nor 0 nor -1
// ever stands for "not measured".
#include <cassert>
#include <string>
#include <utility>
#include <variant>

#include "perisclera/core/units.h"

namespace perisclera {

/// A value with its 95 % interval. There is no constructor without the interval.
template <class Q>
class Measured {
public:
    /// Precondition: low <= value <= high, all finite.
    Measured(Q value, Q low, Q high) : value_(value), low_(low), high_(high) { assert(low <= value && value <= high); }
    /// Symmetric interval of 1.96 standard uncertainties (>= 0).
    static Measured from_standard_uncertainty(Q value, Q standard_uncertainty) {
        return Measured(value, value - standard_uncertainty * 1.96, value + standard_uncertainty * 1.96);
    }
    [[nodiscard]] Q value() const { return value_; }
    [[nodiscard]] Q low() const { return low_; }
    [[nodiscard]] Q high() const { return high_; }
    /// Half the interval's width over 1.96.
    [[nodiscard]] Q standard_uncertainty() const { return (high_ - low_) / (2.0 * 1.96); }

private:
    Q value_, low_, high_;
};

/// Why there is no value, in words for a reader; quotes no free text of the patient's data.
struct Unmeasured {
    std::string why;
};

/// Either a Measured or an Unmeasured; visit() forces both to be handled.
template <class Q>
class Measurement {
public:
    Measurement(Measured<Q> measured) : state_(std::move(measured)) {}        // NOLINT: implicit on purpose
    Measurement(Unmeasured unmeasured) : state_(std::move(unmeasured)) {}     // NOLINT
    [[nodiscard]] bool has_value() const { return std::holds_alternative<Measured<Q>>(state_); }
    template <class Visitor>
    decltype(auto) visit(Visitor&& visitor) const { return std::visit(std::forward<Visitor>(visitor), state_); }
    /// The measured state, or nullptr.
    [[nodiscard]] const Measured<Q>* measured() const { return std::get_if<Measured<Q>>(&state_); }
    /// The reason, or nullptr.
    [[nodiscard]] const Unmeasured* unmeasured() const { return std::get_if<Unmeasured>(&state_); }

private:
    std::variant<Measured<Q>, Unmeasured> state_;
};

}  // namespace perisclera
