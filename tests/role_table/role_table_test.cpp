// SPDX-License-Identifier: Apache-2.0
// Roles against those stated by hand, of at least 60 kinds of series.
#include <filesystem>

#include <gtest/gtest.h>

#include "tests/role_table/role_table.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {
namespace {

TEST(RoleTable, no_role_is_wrong_and_few_are_unknown) {
    const auto& kinds = series_kinds();
    ASSERT_GE(kinds.size(), 60U);
    std::size_t unknown = 0;
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        const ToldRole& told = told_roles()[i];
        EXPECT_FALSE(told.why.empty()) << kinds[i].what;
        unknown += told.role == "unknown";
        if (told.role != "unknown") {
            EXPECT_EQ(told.role, kinds[i].expected) << kinds[i].what << ": " << told.why;
        }
    }
    EXPECT_LE(unknown * 10, kinds.size());
}

TEST(RoleTable, is_the_committed_one) {
    EXPECT_EQ(read_bytes(std::filesystem::path(PERISCLERA_SOURCE_DIR) / "docs" / "role_table.md"), role_table()) << "write it anew: role_table_tests --table docs/role_table.md";
}

}  // namespace
}  // namespace perisclera::test
