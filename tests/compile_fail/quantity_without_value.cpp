// SPDX-License-Identifier: Apache-2.0
// There is no length without a value.
// refused: use of deleted function
#include "perisclera/core/units.h"

using namespace perisclera;

Mm good{1.0};
#ifdef BAD
Mm bad;
#endif
