// SPDX-License-Identifier: Apache-2.0
#pragma once
// Is an element, or a part of it, gone or new, or was it only not recognised at one of two dates?
#include <optional>
#include <vector>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// An eye as a series of one date shows it.
struct EyeAtDate {
    const PolarBlock& block;
    const PolarBlock* fellow = nullptr;   ///< the other eye in the same series, if it tells what is normal here: no element in mirror image
    double gain = 1.0;                    ///< by which signals are multiplied to be as at the other date; CT: 1
};

/// At the clock hours that an element fills at one date and, by what was found, not at another: how far the other date's images stand out there, over how far those of
/// the one date do; about 0 where it is not, about 1 where it lies alike. From the fellow eye, where both dates have one, else from what surrounds the element, which
/// tells less: sclera and muscle stand out from fat as well. `shown`, `other`: of the same kind of series. `found`: what of it was found at the other date. Nothing where
/// there is no such hour, or none is imaged at the other date.
std::optional<double> still_stands_out(const EyeAtDate& shown, const FoundElement& element, const EyeAtDate& other, const std::vector<const FoundElement*>& found);

}  // namespace perisclera
