// SPDX-License-Identifier: Apache-2.0
// A failure cannot be overlooked.
// refused: Werror=unused-result|nodiscard
#include "perisclera/core/result.h"

using namespace perisclera;

Result<Done> write_something();
bool good() { return write_something().ok(); }
#ifdef BAD
void bad() { write_something(); }
#endif
