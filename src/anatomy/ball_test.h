// SPDX-License-Identifier: Apache-2.0
#pragma once
// Rays from a voted centre ask where the even inside of a ball ends and whether a shell stands there. Patient frame, mm.
#include "perisclera/anatomy/globe_finder.h"

namespace perisclera {

/// `scale`: edge_scale of the series. Roundness 0, centre as voted and a usual radius where no ball is seen.
GlobeCandidate test_ball(const VoxelGrid& grid, Modality modality, PatientPoint start, double scale);

/// Share of a full-strength edge about the surface of a ball, either way, over all directions.
double shell_of(const VoxelGrid& grid, Modality modality, PatientPoint centre, double radius_mm, double scale);

/// CT: share of the directions in which bone lies close to the ball's surface, as round a sinus and not round a globe.
double bone_round(const VoxelGrid& grid, const GlobeCandidate& ball);

}  // namespace perisclera
