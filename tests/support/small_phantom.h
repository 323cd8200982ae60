// SPDX-License-Identifier: Apache-2.0
#pragma once
// A small simulated patient with a buckle on one eye, made by the built program once for all tests of a process.
#include <filesystem>

namespace perisclera::test {

/// The folder of its images, to be copied; nothing else lies in it. Throws std::runtime_error where the program fails.
const std::filesystem::path& small_phantom();

}  // namespace perisclera::test
