// SPDX-License-Identifier: Apache-2.0
// Two points have no sum: only a vector moves a point.
// refused: no match for 'operator\+'
#include "perisclera/core/frames.h"

using namespace perisclera;

PatientPoint good(PatientPoint a, PatientVector b) { return a + b; }
#ifdef BAD
auto bad(PatientPoint a, PatientPoint b) { return a + b; }
#endif
