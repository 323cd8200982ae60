// SPDX-License-Identifier: Apache-2.0
#pragma once
// How far an element lies from what surrounds the orbit's contents: from the air before the eye and from the bony wall, each the shortest distance
// from its outer face, on the series it was measured on. Definitions and uncertainties: docs/measurements.md.
#include "perisclera/core/modality.h"
#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

struct ElementSurroundings {
    Measurement<Mm> surface;       ///< towards the air before the eye
    Measurement<Mm> orbital_wall;  ///< of bone; on CT only
};

/// `grid`: what `block` was sampled from; `elements`: all of this eye in its frame, `element` among them. Where the element has no size neither
/// distance is told.
ElementSurroundings surroundings_of(const VoxelGrid& grid, Modality modality, const PolarBlock& block, const FoundElement& element,
                                    const ElementMeasurements& measured, const std::vector<const FoundElement*>& elements);

}  // namespace perisclera
