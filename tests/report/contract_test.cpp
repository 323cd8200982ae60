// SPDX-License-Identifier: Apache-2.0
// The names that other programs rely on, held in check_contract.py and, where the page that states them lies beside this project, held against that page.
#include <gtest/gtest.h>

#include "perisclera/report/json.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

const std::string root = PERISCLERA_SOURCE_DIR;

int checked(const std::string& schema, const std::string& report) {
    const std::string stated = root + "/../shared/contract.md";
    return outside::run("check_contract.py", schema + " " + outside::written("report.json", report).string() + (std::filesystem::exists(stated) ? " " + stated : ""));
}

std::string full_report() {
    ReportModel m = example::full();
    m.timepoints[0].right.muscles[0].elements.push_back({.id = "R1"});
    return to_json(m);
}

TEST(Contract, schema_and_report_have_every_name_that_others_rely_on) { EXPECT_EQ(checked(root + "/docs/report.schema.json", full_report()), 0); }

TEST(Contract, a_renamed_member_is_told) {
    std::string schema = outside::read_back(root + "/docs/report.schema.json");
    for (std::size_t at = schema.find("indentation_mm"); at != std::string::npos; at = schema.find("indentation_mm", at + 1)) schema.replace(at, 14, "buckle_height_");
    EXPECT_EQ(checked(outside::written("schema.json", schema).string(), full_report()), 1);
    std::string report = full_report();
    for (std::size_t at = report.find("\"water_fraction_change\""); at != std::string::npos; at = report.find("\"water_fraction_change\"", at + 1)) report.replace(at, 23, "\"water_fraction_differs\"");
    EXPECT_EQ(checked(root + "/docs/report.schema.json", report), 1);
}

}  // namespace
}  // namespace perisclera::report
