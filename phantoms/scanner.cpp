// SPDX-License-Identifier: Apache-2.0
#include "scanner.h"

#include "ct_scanner.h"
#include "mr_scanner.h"

namespace perisclera::phantoms {

VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
    return scan.series.is_ct() ? acquire_ct(scan, geometry, threads) : acquire_mr(scan, geometry, threads);
}

}  // namespace perisclera::phantoms
