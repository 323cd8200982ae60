// SPDX-License-Identifier: Apache-2.0
#pragma once
// The one way an output error is worded. It names no path: a path may hold a patient's name.
#include <cstring>
#include <string>

#include "perisclera/core/error.h"

namespace perisclera {

inline Error output_error(const std::string& what, int system_error) {
    const char* reason = strerrordesc_np(system_error);  // unlike strerror, never translated
    return Error{ErrorCode::output_failed, what + " (" + (reason ? reason : "unknown reason") + ")", "output folder",
                 "check free space and permissions, or choose another folder"};
}

}  // namespace perisclera
