// SPDX-License-Identifier: Apache-2.0
#pragma once
// What report.json says, as the sweeps hold it against truth.json.
#include <optional>

#include <nlohmann/json.hpp>

namespace perisclera::bank {

/// A quantity that has a value.
struct Said {
    double value, low, high;
    [[nodiscard]] bool holds(double truth) const { return low <= truth && truth <= high; }
};

/// Nothing where the report gives a reason in the value's place.
std::optional<Said> said(const nlohmann::json& quantity);

/// Is the element with these clock hours of the report the one with those of the truth? Within two clock hours of the true middle, or both all round.
bool at_the_place(const nlohmann::json& hours, const nlohmann::json& true_hours);

}  // namespace perisclera::bank
