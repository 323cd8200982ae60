// SPDX-License-Identifier: Apache-2.0
#pragma once
// A numbered table under docs/ that is made from the tests themselves: each row stands in the source beside the tests that show
// it, and names them.
//     const InTable row{{7, {"what happens", "what holds"}, {"Suite.test", "Suite.other_test"}}};
// One test of the program hands the table to expect_table_is_current(): it fails when a row is missing, when a named test stands in
// no source, or when the page in docs/ says something else. Run with PERISCLERA_WRITE_TABLES=1 it writes the page instead.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

namespace perisclera::test {

struct TableRow {
    int number;
    std::vector<std::string> cells;  ///< in the order of the page's columns, without the number and the tests
    std::vector<std::string> tests;  ///< "Suite.name"; none: a cell says why there is none yet
};

inline std::map<int, TableRow>& table_rows() {
    static std::map<int, TableRow> rows;
    return rows;
}

/// A row of the program's table, by being constructed before main.
struct InTable {
    explicit InTable(TableRow row) {
        const int number = row.number;
        if (!table_rows().emplace(number, std::move(row)).second) std::abort();  // two rows of one number: a mistake in the tests
    }
};

/// Every .cpp file below tests/, one after the other.
inline std::string all_test_sources(const std::filesystem::path& source) {
    std::string text;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(source / "tests")) {
        if (entry.path().extension() != ".cpp") continue;
        std::ifstream file(entry.path(), std::ios::binary);
        text.append(std::istreambuf_iterator<char>(file), {});
    }
    return text;
}

/// `introduction` stands above the table; `columns` name the cells. Rows have to run from 1 to `count`.
inline void expect_table_is_current(const std::filesystem::path& source, const std::filesystem::path& page, const std::string& introduction,
                                    const std::vector<std::string>& columns, int count) {
    const auto line = [](const std::string& first, const std::vector<std::string>& cells, const std::string& last) {
        std::string text = "| " + first + " |";
        for (const std::string& cell : cells) text += " " + cell + " |";
        return text + " " + last + " |\n";
    };
    const std::string sources = all_test_sources(source);
    std::string text = introduction + "\n" + line("No.", columns, "tests") + line("---", std::vector<std::string>(columns.size(), "---"), "---");
    for (const auto& [number, row] : table_rows()) {
        EXPECT_EQ(row.cells.size(), columns.size()) << "row " << number;
        std::string tests;
        for (const std::string& name : row.tests) {
            const std::size_t dot = name.find('.');
            const std::string written = "(" + name.substr(0, dot) + ", " + name.substr(std::min(name.size(), dot + 1)) + ")";
            const std::string after_number = ", " + name.substr(std::min(name.size(), dot + 1)) + ", \"";  // where a macro states the row first
            EXPECT_TRUE(sources.find(written) != std::string::npos || sources.find(after_number) != std::string::npos) << "row " << number << ": no source has a test " << name;
            tests += (tests.empty() ? "`" : ", `") + name + "`";
        }
        text += line(std::to_string(number), row.cells, tests.empty() ? "—" : tests);
    }
    EXPECT_EQ(table_rows().size(), static_cast<std::size_t>(count));
    if (!table_rows().empty()) {
        EXPECT_EQ(table_rows().rbegin()->first, count);
    }
    if (std::getenv("PERISCLERA_WRITE_TABLES") != nullptr) {
        std::ofstream(page, std::ios::binary) << text;
        return;
    }
    std::ifstream file(page, std::ios::binary);
    const std::string written{std::istreambuf_iterator<char>(file), {}};
    EXPECT_TRUE(written == text) << page << " is not what the tests say: run this test with PERISCLERA_WRITE_TABLES=1";
}

}  // namespace perisclera::test
