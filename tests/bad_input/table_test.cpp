// SPDX-License-Identifier: Apache-2.0
// The committed table is the one that these tests give.
#include "tests/bad_input/bad_input.h"

namespace perisclera::test {

TEST(BadInputTable, is_the_committed_one) {
    EXPECT_EQ(read_bytes(std::filesystem::path(PERISCLERA_SOURCE_DIR) / "docs" / "bad_inputs.md"), bad_input_table({}))
        << "write it anew: bad_input_tests --table docs/bad_inputs.md";
}

}  // namespace perisclera::test
