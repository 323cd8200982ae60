// SPDX-License-Identifier: Apache-2.0
#pragma once
// Text or lines drawn into the pixels of a slice: rows of marks of one height on one base line, in one colour, as writing is and anatomy is not; the same marks at the same place of every
// slice; straight lines of one value. Looked for in whole slices as they came, before they are cut down. What it finds at which size, and what it misses, is stated in docs/deidentification.md
// and measured by tests/teaching/drawn_text_test.cpp. Own method, no source.
#include <optional>

#include "perisclera/image/voxel_grid.h"

namespace perisclera::teaching {

/// The first slice, from 0, in which something seems to be drawn. The result does not depend on `threads`.
std::optional<int> drawn_slice(const VoxelGrid& grid, int threads);

}  // namespace perisclera::teaching
