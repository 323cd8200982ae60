// SPDX-License-Identifier: Apache-2.0
// Vectors of two frames have no product.
// refused: no matching function for call to 'dot
#include "perisclera/core/frames.h"

using namespace perisclera;

double good(EyeVector a, EyeVector b) { return dot(a, b); }
#ifdef BAD
double bad(EyeVector a, PatientVector b) { return dot(a, b); }
#endif
