// SPDX-License-Identifier: Apache-2.0
#pragma once
// The surroundings of a globe as they would show if it held vitreous. What looks for the wall and for what lies on it knows the wall by its contrast with
// vitreous: oil as dense as rubber beside the wall would pass for a band, and a surface fitted to two fluids misses the eye by millimetres. In a copy each voxel's share
// of another fluid is replaced by as much vitreous; wall, lens and all beyond stay as they are. What a filling outshines, such as an element that reaches into oil,
// is changed with it.
#include <optional>

#include "perisclera/anatomy/cavity.h"

namespace perisclera {

/// Signals of one series: HU, or MR.
struct WallSignals {
    double vitreous, wall;
    double alike;          ///< what differs by less is not told apart
};

struct AsIfVitreous {
    VoxelGrid grid;                         ///< a block about the eye, as far as anything on the globe may reach
    std::optional<GlobeCandidate> place{};  ///< the ball within the wall, found by the filling's own contrast; nothing where it has none and the globe stands
};

/// Nothing where the cavity holds vitreous as far as its signal goes, or where no wall was found about it.
std::optional<AsIfVitreous> as_if_vitreous(const VoxelGrid& grid, const Globe& globe, const CavityReading& cavity, const WallSignals& signals);

}  // namespace perisclera
