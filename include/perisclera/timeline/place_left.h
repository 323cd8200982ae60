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
    double span = 150.0;                  ///< of signal between fat and muscle; on CT in Hounsfield units
    double gain = 1.0;                    ///< by which signals are multiplied to be as at the other date; CT: 1
};

/// How much of what an element shows at one date its place still shows at another.
struct StillShown {
    double share;     ///< about 0 where it is not, about 1 where it lies alike
    double telling;   ///< how plainly the element shows at the one date, in spans between fat and muscle; 0 where no fellow eye tells what is normal
};

/// At the clock hours that an element fills at one date and, by what was found, not at another: how far the other date's images stand out there, over how far those of
/// the one date do. From the fellow eye, where both dates have one, else from what surrounds the element, which
/// tells less: sclera and muscle stand out from fat as well. `shown`, `other`: of the same kind of series, which need
/// not be the one on which the element was found. `found`: what of it was found at the other date. Nothing where
/// there is no such hour, or none is imaged at the other date.
std::optional<StillShown> still_stands_out(const EyeAtDate& shown, const FoundElement& element, const EyeAtDate& other, const std::vector<const FoundElement*>& found);

}  // namespace perisclera
