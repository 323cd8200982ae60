// SPDX-License-Identifier: Apache-2.0
#pragma once
// Is an element, or a part of it, gone, or was it only not recognised again?
#include <optional>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// At the clock hours that an element filled at one date and does not fill, by what was found, at another: how far the images stand out there now over how far they did
/// then, from what surrounded it; about 0 where it is gone, about 1 where it lies as before, the middle over these hours. `before`, `after`: blocks of the eye at both
/// dates, of the same kind of series. `left`: what was found of it at the other date, or nullptr. Nothing where no hour was given up, or those are not imaged now.
std::optional<double> still_stands_out(const PolarBlock& before, const FoundElement& element, const PolarBlock& after, const FoundElement* left);

}  // namespace perisclera
