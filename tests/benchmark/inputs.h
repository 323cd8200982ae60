// SPDX-License-Identifier: Apache-2.0
#pragma once
// The files that the benchmark reads: invented CT slices whose pixels vary as noise does.
#include <filesystem>

namespace perisclera::test {

/// Bare: hardly more than what the program needs, some 35 elements. Clinical: as long as scanners write it, some 180 with private elements and sequences.
enum class HeaderLength { bare, clinical };

/// One series of `slices` images of `size` x `size` pixels, 1 mm apart. The files' names sort as their positions do.
void write_ct_series(const std::filesystem::path& folder, int series, int slices, int size, HeaderLength length);

}  // namespace perisclera::test
