// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/read_header.h"

#include "image_files.h"

namespace perisclera {

Result<std::vector<unsigned char>> read_header(const SliceHeader& slice) { return ImageFiles().read_header(slice); }

}  // namespace perisclera
