// SPDX-License-Identifier: Apache-2.0
// Runs the tests; with --table FILE it writes the table of roles instead.
#include <string_view>

#include <gtest/gtest.h>

#include "tests/role_table/role_table.h"
#include "tests/support/test_folder.h"

int main(int argc, char** argv) {
    if (argc == 3 && std::string_view(argv[1]) == "--table") {
        perisclera::test::write_bytes(argv[2], perisclera::test::role_table());
        return 0;
    }
    ::testing::InitGoogleTest(&argc, argv);
    return RUN_ALL_TESTS();
}
