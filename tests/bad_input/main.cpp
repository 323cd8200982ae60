// SPDX-License-Identifier: Apache-2.0
// Runs the tests; with --table FILE it writes the table of bad inputs afterwards.
#include <set>
#include <string>
#include <string_view>

#include "tests/bad_input/bad_input.h"

int main(int argc, char** argv) {
    ::testing::InitGoogleTest(&argc, argv);
    const bool table = argc == 3 && std::string_view(argv[1]) == "--table";
    const int status = RUN_ALL_TESTS();
    if (!table) return status;
    std::set<std::string> failed;
    const auto& all = *::testing::UnitTest::GetInstance();
    for (int s = 0; s < all.total_test_suite_count(); ++s)
        for (int t = 0; t < all.GetTestSuite(s)->total_test_count(); ++t) {
            const auto& test = *all.GetTestSuite(s)->GetTestInfo(t);
            if (!test.should_run() || test.result()->Failed()) failed.insert(test.name());
        }
    perisclera::test::write_bytes(argv[2], perisclera::test::bad_input_table(failed));
    return 0;
}
