// SPDX-License-Identifier: Apache-2.0
// CT: the kernel's blur (ct_kernel), the errors that bone and metal leave (ct_artefact), motion (ct_motion), noise as filtered back projection leaves it (ct_noise).
#pragma once

#include "scanner.h"

namespace perisclera::phantoms {

/// HU. The result does not depend on `threads`.
VoxelGrid acquire_ct(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);

}  // namespace perisclera::phantoms
