// SPDX-License-Identifier: Apache-2.0
// A length and a CT number have no sum.
// refused: no match for 'operator\+'
#include "perisclera/core/units.h"

using namespace perisclera;

Mm good() { return Mm(1.0) + Mm(2.0); }
#ifdef BAD
auto bad() { return Mm(1.0) + Hu(2.0); }
#endif
