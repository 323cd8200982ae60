// SPDX-License-Identifier: Apache-2.0
// The table and the program around it.
#include "tests/support/case_table.h"

#include <algorithm>
#include <filesystem>
#include <map>
#include <sstream>
#include <string_view>
#include <tuple>

#include <gtest/gtest.h>

#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

std::vector<CaseRow>& rows() {
    static std::vector<CaseRow> all;
    return all;
}

std::map<int, std::string>& shortfalls() {
    static std::map<int, std::string> all;
    return all;
}

std::set<std::string> failed_tests() {
    std::set<std::string> failed;
    const auto& all = *::testing::UnitTest::GetInstance();
    for (int s = 0; s < all.total_test_suite_count(); ++s)
        for (int t = 0; t < all.GetTestSuite(s)->total_test_count(); ++t) {
            const auto& test = *all.GetTestSuite(s)->GetTestInfo(t);
            if (!test.should_run() || test.result()->Failed()) failed.insert(test.name());
        }
    return failed;
}

}  // namespace

bool list_case(CaseRow row) {
    rows().push_back(std::move(row));
    return true;
}

bool list_shortfall(int number, const std::string& what) {
    shortfalls().emplace(number, what);
    return true;
}

std::string case_table(const std::set<std::string>& failed) {
    const CasePage page = case_page();
    std::sort(rows().begin(), rows().end(), [](const CaseRow& a, const CaseRow& b) { return std::tie(a.number, a.test) < std::tie(b.number, b.test); });
    std::set<int> honoured;
    for (const CaseRow& row : rows()) honoured.insert(row.number);
    for (const CaseRow& row : rows())
        if (failed.contains(row.test)) honoured.erase(row.number);
    for (const auto& [number, what] : shortfalls()) honoured.erase(number);
    std::ostringstream table;
    table << page.introduction << "\n" << honoured.size() << " of " << page.cases << " honoured." << (shortfalls().empty() ? "" : " Not done yet:\n") << "\n";
    for (const auto& [number, what] : shortfalls()) table << "- " << number << ": " << what << "\n";
    table << "\n| # | " << page.columns << " | test |\n|";
    for (auto columns = std::count(page.columns.begin(), page.columns.end(), '|') + 3; columns > 0; --columns) table << "---|";
    table << "\n";
    for (const CaseRow& row : rows())
        table << "| " << row.number << " | " << row.cells << " | `" << row.test << "`" << (failed.contains(row.test) ? " **fails**" : "") << " |\n";
    return table.str();
}

TEST(CaseTable, is_the_committed_one) {
    EXPECT_EQ(read_bytes(std::filesystem::path(PERISCLERA_SOURCE_DIR) / "docs" / case_page().file), case_table({})) << "write it anew with --table docs/" << case_page().file;
}

}  // namespace perisclera::test

int main(int argc, char** argv) {
    ::testing::InitGoogleTest(&argc, argv);
    const bool table = argc == 3 && std::string_view(argv[1]) == "--table";
    const int status = RUN_ALL_TESTS();
    if (!table) return status;
    perisclera::test::write_bytes(argv[2], perisclera::test::case_table(perisclera::test::failed_tests()));
    return 0;
}
