// SPDX-License-Identifier: Apache-2.0
// What may be missing cannot be read as if it were there.
// refused: has no member named 'value'
#include "perisclera/core/measured.h"

using namespace perisclera;

double good(const Measurement<Mm>& m) { return m.has_value() ? m.measured()->value().value() : 0.0; }
#ifdef BAD
double bad(const Measurement<Mm>& m) { return m.value().value(); }
#endif
