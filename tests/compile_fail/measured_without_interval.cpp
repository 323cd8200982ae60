// SPDX-License-Identifier: Apache-2.0
// A measured value has its interval from birth.
// refused: no matching function for call to
#include "perisclera/core/measured.h"

using namespace perisclera;

Measured<Mm> good{Mm(1.0), Mm(0.8), Mm(1.2)};
#ifdef BAD
Measured<Mm> bad{Mm(1.0)};
#endif
