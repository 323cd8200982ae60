// SPDX-License-Identifier: Apache-2.0
#pragma once
// Is an element, or a part of it, gone or new, or was it only not recognised at one of two dates?
#include <optional>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// At the clock hours that an element fills at one date and, by what was found, not at another: how far the other date's images stand out there from what surrounds it,
/// over how far those of the one date do; about 0 where it is not, about 1 where it lies alike, the middle over these hours. `shown`, `other`: blocks of the eye at both
/// dates, of the same kind of series. `found`: what was found of it at the other date, or nullptr. Nothing where there is no such hour, or none is imaged at the other date.
std::optional<double> still_stands_out(const PolarBlock& shown, const FoundElement& element, const PolarBlock& other, const FoundElement* found);

}  // namespace perisclera
