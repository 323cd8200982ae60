// SPDX-License-Identifier: Apache-2.0
// Only a CT yields Hounsfield units.
// refused: has no member named 'at'
#include "perisclera/image/voxel_grid.h"

using namespace perisclera;

Hu good(const CtVolume& volume, PatientPoint p) { return volume.at(p); }
#ifdef BAD
Hu bad(const MrVolume& volume, PatientPoint p) { return volume.at(p); }
#endif
