// SPDX-License-Identifier: Apache-2.0
#pragma once
// The project's own files, for tests that read them.
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace perisclera {

inline const std::filesystem::path source = PERISCLERA_SOURCE_DIR;

inline std::string content(const std::filesystem::path& path) {
    std::ifstream stream(path);
    return {std::istreambuf_iterator<char>(stream), {}};
}

}  // namespace perisclera
