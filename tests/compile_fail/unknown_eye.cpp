// SPDX-License-Identifier: Apache-2.0
// There are two eyes; not known is no third one.
// refused: 'unknown' is not a member of
#include <optional>

#include "perisclera/core/eye.h"

using namespace perisclera;

std::optional<Eye> good() { return std::nullopt; }
#ifdef BAD
Eye bad() { return Eye::unknown; }
#endif
