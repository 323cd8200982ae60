// SPDX-License-Identifier: Apache-2.0
#pragma once
// A page under docs/ that lists numbered cases, made by the tests of one program: each states its row beside its own code. A case is
// honoured when it has tests, all of them pass and nothing is listed as missing. Run with --table FILE the program writes the page
// after its tests; a test among them holds the committed page against the rows.
#include <set>
#include <string>
#include <vector>

namespace perisclera::test {

/// What the program tells of its page; each program with such tests defines case_page().
struct CasePage {
    std::string file;  ///< below docs/
    std::string introduction;
    std::string columns;  ///< between the number and the test: "input | what happens"
    int cases = 0;
};
CasePage case_page();

/// Rows of one number are parts of one case.
struct CaseRow {
    int number = 0;
    std::string test;  ///< without its suite
    std::string cells;  ///< as many as there are columns, between bars
};

/// Both are called before the tests run and return true.
bool list_case(CaseRow row);
/// What of a case is not done yet: the case then does not count as honoured.
bool list_shortfall(int number, const std::string& what);

/// `failed` are the names of tests that did not pass.
std::string case_table(const std::set<std::string>& failed);

}  // namespace perisclera::test
