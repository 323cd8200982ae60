// SPDX-License-Identifier: Apache-2.0
// Points of two frames have no difference.
// refused: no match for 'operator-'
#include "perisclera/core/frames.h"

using namespace perisclera;

PatientVector good(PatientPoint a, PatientPoint b) { return a - b; }
#ifdef BAD
auto bad(PatientPoint a, VoxelPoint b) { return a - b; }
#endif
