// SPDX-License-Identifier: Apache-2.0
#pragma once
// The files that the benchmark reads: invented CT slices whose headers are as long as those of clinical ones, with private elements and
// sequences, and whose pixels vary as noise does.
#include <filesystem>
#include <vector>

namespace perisclera::test {

/// One series of `slices` images of `size` x `size` pixels, 1 mm apart. The files' names sort as their positions do.
std::vector<std::filesystem::path> write_ct_series(const std::filesystem::path& folder, int series, int slices, int size);

}  // namespace perisclera::test
