// SPDX-License-Identifier: Apache-2.0
#pragma once
// How far an element of a scenario truly lies from the air before the eye and from bone: by the labels of the phantoms' own shapes alone, to some
// 0.05 mm.
#include <optional>

#include "phantoms/scenario.h"

namespace perisclera::surroundings {

struct TrueSurroundings {
    double surface_mm, bone_mm;
};

/// As the head lies and the eyes look in this series. Precondition: this eye has an element; the first one counts.
TrueSurroundings true_surroundings(const phantoms::Timepoint& visit, const phantoms::Series& series, Eye eye);

}  // namespace perisclera::surroundings
