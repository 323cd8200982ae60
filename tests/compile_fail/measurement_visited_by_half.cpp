// SPDX-License-Identifier: Apache-2.0
// Whoever visits a measurement also handles the reason why there is none.
// refused: no type named 'type' in 'struct std::__invoke_result<Half
#include "perisclera/core/measured.h"

using namespace perisclera;

struct Both {
    bool operator()(const Measured<Mm>&) const { return true; }
    bool operator()(const Unmeasured&) const { return false; }
};
bool good(const Measurement<Mm>& m) { return m.visit(Both{}); }
#ifdef BAD
struct Half {
    bool operator()(const Measured<Mm>&) const { return true; }
};
bool bad(const Measurement<Mm>& m) { return m.visit(Half{}); }
#endif
