// SPDX-License-Identifier: Apache-2.0
// A geometry comes from checked values only.
// refused: is private within this context
#include "perisclera/image/volume_geometry.h"

using namespace perisclera;

bool good(PatientPoint o, PatientVector r, PatientVector c, PatientVector s) { return VolumeGeometry::make(o, r, c, s, {1.0, 1.0}, {2, 2, 2}).ok(); }
#ifdef BAD
VolumeGeometry bad() { return VolumeGeometry(); }
#endif
