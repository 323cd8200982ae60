// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where tests find real images. Neither is part of the repository:
//   shared_data()   heads and cases beside the source tree, or where PERISCLERA_SHARED_DATA says; a test without it skips and says so
//   fetched_data()  what .ci/fetch_test_data.sh left (PERISCLERA_TEST_DATA); where PERISCLERA_REQUIRE_TEST_DATA is set, as in
//                   tests/run.sh, a test without it must fail: require_fetched_data() tells which
#include <cstdlib>
#include <filesystem>

namespace perisclera::test {

inline std::filesystem::path folder_from(const char* variable, const std::filesystem::path& otherwise) {
    const char* value = std::getenv(variable);
    return value && *value ? std::filesystem::path(value) : otherwise;
}

inline std::filesystem::path shared_data() { return folder_from("PERISCLERA_SHARED_DATA", std::filesystem::path(PERISCLERA_SOURCE_DIR) / ".." / "shared" / "data"); }

inline std::filesystem::path fetched_data() { return folder_from("PERISCLERA_TEST_DATA", std::filesystem::path(PERISCLERA_BINARY_DIR) / "test_data"); }

inline bool require_fetched_data() { return std::getenv("PERISCLERA_REQUIRE_TEST_DATA") != nullptr; }

}  // namespace perisclera::test
