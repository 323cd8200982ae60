// SPDX-License-Identifier: Apache-2.0
#pragma once
// The globe's outer surface as the smooth shape on which most rays' edges agree: what an explant dents, or hides, is outvoted. Patient frame, mm.
#include <functional>
#include <optional>

#include "cornea_place.h"
#include "globe_fit.h"

namespace perisclera {

/// What is known of the wall besides its edges.
struct WallHints {
    std::optional<CorneaPlace> cornea{};                 ///< where it is seen it holds the centre along the axis
    std::function<bool(PatientVector)> covered{};        ///< directions (unit vectors) in which an element is known to dent or hide the wall; none where empty
    std::optional<double> fellow_radius_mm{};            ///< of the other eye, without what its back half adds
};

/// Follows the wall from a fit that is right to some 3 mm. `anterior`: the eye's axis.
/// The fit unchanged where fewer than 60 of 500 directions show a wall within the images.
GlobeFit follow_wall(const VoxelGrid& grid, Modality modality, const GlobeFit& from, PatientVector anterior, const WallHints& hints = {});

}  // namespace perisclera
