// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "perisclera/core/error.h"

namespace perisclera {

inline Error no_register() { return Error{ErrorCode::bad_value, "the file is no register", "--register", "name a file that this program made"}; }

inline Error damaged_register() { return Error{ErrorCode::bad_value, "the register is damaged", "--register", "put back a copy that is whole"}; }

}  // namespace perisclera
