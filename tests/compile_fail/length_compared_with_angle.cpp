// SPDX-License-Identifier: Apache-2.0
// A length is neither more nor less than an angle.
// refused: no match for 'operator<'
#include "perisclera/core/units.h"

using namespace perisclera;

bool good() { return Mm(1.0) < Mm(2.0); }
#ifdef BAD
bool bad() { return Mm(1.0) < Degrees(2.0); }
#endif
