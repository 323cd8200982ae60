// SPDX-License-Identifier: Apache-2.0
#pragma once
// The preflight of a file that is open already.
#include <string>

#include "input_file.h"
#include "perisclera/ingest/preflight.h"

namespace perisclera {

/// As preflight(). Afterwards a deflated data set lies inflated in `file`.
Result<FileLayout> scan_layout(InputFile& file, const std::string& where);

}  // namespace perisclera
