// SPDX-License-Identifier: Apache-2.0
// A CT is asked at a place in the patient, not at a voxel index taken for millimetres.
// refused: cannot convert|could not convert
#include "perisclera/image/voxel_grid.h"

using namespace perisclera;

Hu good(const CtVolume& volume, PatientPoint p) { return volume.at(p); }
#ifdef BAD
Hu bad(const CtVolume& volume, VoxelPoint p) { return volume.at(p); }
#endif
