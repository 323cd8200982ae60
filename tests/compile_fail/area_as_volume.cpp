// SPDX-License-Identifier: Apache-2.0
// An area is not a volume.
// refused: could not convert
#include "perisclera/core/units.h"

using namespace perisclera;

Mm3 good() { return Mm(1.0) * Mm(2.0) * Mm(3.0); }
#ifdef BAD
Mm3 bad() { return Mm(1.0) * Mm(2.0); }
#endif
