// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/read_header.h"

#include "image_files.h"
#include "transfer_syntax.h"

namespace perisclera {

Result<HeaderBytes> read_header(const SliceHeader& slice) {
    auto bytes = ImageFiles().read_header(slice);
    if (!bytes) return bytes.error();
    return HeaderBytes{std::move(bytes).value(), header_syntax(slice.layout.encoding)};
}

}  // namespace perisclera
