// SPDX-License-Identifier: Apache-2.0
#include "perisclera/ingest/slice_header.h"

#include <tuple>

namespace perisclera {

bool by_identifier(const SliceHeader& a, const SliceHeader& b) {
    return std::tie(a.sop_instance_uid, a.path, a.archive_member, a.frame) < std::tie(b.sop_instance_uid, b.path, b.archive_member, b.frame);
}

}  // namespace perisclera
