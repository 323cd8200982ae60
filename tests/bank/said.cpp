// SPDX-License-Identifier: Apache-2.0
#include "tests/bank/said.h"

#include <cmath>

#include "perisclera/core/clock_position.h"

namespace perisclera::bank {

using nlohmann::json;

namespace {

double middle_hour(double from, double span) { return std::fmod(from + 0.5 * span, 12.0); }

}  // namespace

std::optional<Said> said(const json& quantity) {
    if (quantity["value"].is_null()) return std::nullopt;
    return Said{quantity["value"], quantity["ci95"][0], quantity["ci95"][1]};
}

bool at_the_place(const json& hours, const json& true_hours) {
    const double true_span = true_hours["span_hours"];
    const auto from = said(hours["from"]), span = said(hours["span_hours"]);
    if (true_span >= 11.9) return span && span->value >= 6.0;
    return from && span && ClockPosition(middle_hour(from->value, span->value)).distance_to(ClockPosition(middle_hour(true_hours["from"], true_span))).value() < 2.0;
}

}  // namespace perisclera::bank
