// SPDX-License-Identifier: Apache-2.0
#pragma once
// The thickness of one element at two dates of CT, fitted under one CT number: an explant's make stays, so that what either date mistakes of the number is mistaken alike.
#include <optional>

#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

/// Natural logarithm of a ratio, and its standard uncertainty.
struct LogRatio {
    double value, uncertainty;
};

/// The later over the earlier thickness. Both dates' numbers may differ as far as scanners and tube voltages make one rubber's, or one sponge's, differ; beforehand the number is known as it
/// is for a single date. `shared`: correlation of what is left of both dates' errors once the number is given, 0 to less than 1. Nothing where the dates took it for different
/// makes, or no number serves both.
std::optional<LogRatio> thickness_under_one_number(const ThicknessByNumber& before, const ThicknessByNumber& after, double shared);

}  // namespace perisclera
