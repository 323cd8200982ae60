// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the outer sclera lies along rays from the globe's centre, each ray by itself: the signal's course is compared with contents, uvea, sclera and surroundings seen
// through the series' blur, at every place the wall may have. The edge alone does not say: bright vitreous (T2) ends at the wall's inner face, dark vitreous beside fat (T1)
// seems to end at its outer face, for the sclera itself is dark. Contents and surroundings are each ray's own, so that a fluid level, fat beside muscle or an explant
// changes no edge; the signals of uvea and sclera, their thickness and the blur are common to all rays. A ray says what it knows as probabilities over places, for it
// may show several edges or none. Patient frame, mm.
#include <vector>

#include "perisclera/anatomy/globe.h"

namespace perisclera {

struct WallEdge {
    static constexpr double step_mm = 0.25;
    PatientVector direction;
    bool hidden;            ///< by bone, air or an explant close to the globe: little is to be given to it
    double nearest_mm;                  ///< place of the first probability: distance from the centre
    std::vector<double> probability;    ///< of the outer sclera lying at this place, sum 1; every step_mm, 4 mm to either side of the surface asked about
};

/// Do these images show layers on the wall and the finer departures of its shape? Not on slices of 4 mm and more: in a real head of such, bands and tires all round then drew the
/// globe 2 to 3 mm away.
bool shows_fine_walls(const VoxelGrid& grid);

/// About a surface that is right to some 4 mm. `least_noise`: of the contents, > 0. Rays within 60 degrees of the axis are left out, for there lens, ciliary body and cornea
/// lie; so are those that leave the images.
std::vector<WallEdge> wall_edges(const VoxelGrid& grid, Modality modality, PatientPoint centre, const SmoothRadius& outer, PatientVector anterior, double least_noise);

}  // namespace perisclera
