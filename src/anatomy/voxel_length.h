// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cmath>

#include "perisclera/image/volume_geometry.h"

namespace perisclera {

/// A voxel's length along a direction (unit vector), mm: how far two samples lie apart there.
inline double voxel_length_mm(const VolumeGeometry& g, PatientVector along) {
    return std::hypot(dot(along, g.row()) * g.spacing_mm()[0], dot(along, g.column()) * g.spacing_mm()[1], dot(along, g.normal()) * g.spacing_mm()[2]);
}

}  // namespace perisclera
