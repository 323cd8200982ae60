// SPDX-License-Identifier: Apache-2.0
#pragma once
// Does a series look as its role says? Headers may lie; water and fat do not: fat relaxes about ten times faster than the vitreous
// (T1 near 0.1-0.4 s against 3-4 s), so that without fat suppression it outshines the vitreous on every T1-weighted image, while the vitreous
// outshines fat, or nearly does, on every T2-weighted one (T2 of the vitreous is several times longer). Oil, gas or blood may change one eye, seldom both.
#include <array>
#include <optional>
#include <string>

#include "perisclera/alignment/polar_block.h"
#include "perisclera/assemble/image_series.h"

namespace perisclera {

struct EyeBrightness {
    double vitreous;      ///< mean signal within the globe
    double orbit;         ///< of the brightest tissue round the back of the globe, fat where it is not suppressed; 0 where it is not imaged
    double muscle;        ///< of the dark tissue there
};
/// How an eye shows in a series: the mean within its globe, and what lies round its back.
EyeBrightness brightness(const PolarBlock& block);

/// What both eyes contradict, in words for the series' problems; nothing where the role says nothing of vitreous and fat.
std::optional<std::string> contradiction(SeriesRole role, const std::array<EyeBrightness, 2>& eyes);

/// T1 or T2, without fat suppression, where both eyes plainly look so and nothing else looks alike; nothing otherwise. For series whose
/// header does not tell.
std::optional<SeriesRole> role_by_image(const std::array<EyeBrightness, 2>& eyes);

}  // namespace perisclera
