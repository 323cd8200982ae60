// SPDX-License-Identifier: Apache-2.0
// A CT is no MR: intensities and Hounsfield units never meet.
// refused: could not convert|invalid initialization
#include "perisclera/image/voxel_grid.h"

using namespace perisclera;

void needs_mr(const MrVolume& volume);
void good(const MrVolume& volume) { needs_mr(volume); }
#ifdef BAD
void bad(const CtVolume& volume) { needs_mr(volume); }
#endif
