// SPDX-License-Identifier: Apache-2.0
#pragma once
// The globe's outer surface as the smooth shape on which most rays' edges agree: what an explant dents, or hides, is outvoted. Patient frame, mm.
#include <optional>

#include "cornea_place.h"
#include "globe_fit.h"

namespace perisclera {

/// Follows the wall from a fit that is right to some 3 mm. `anterior`: the eye's axis; the cornea, where it is seen, holds the centre along it.
/// The fit unchanged where fewer than 60 of 500 directions show a wall within the images.
GlobeFit follow_wall(const VoxelGrid& grid, Modality modality, const GlobeFit& from, PatientVector anterior, const std::optional<CorneaPlace>& cornea = std::nullopt);

}  // namespace perisclera
