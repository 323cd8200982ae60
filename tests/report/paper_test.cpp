// SPDX-License-Identifier: Apache-2.0
// The sheets of report.pdf as pdfinfo of poppler reads them; ISO 216 A4 is 210 x 297 mm, US letter 8.5 x 11 inches.
#include <gtest/gtest.h>

#include "perisclera/report/render_report.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

struct Sheet {
    double width = 0.0, height = 0.0;   // points
    int pages = 0;
};

Sheet sheet_of(const std::string& pdf) {
    const auto in = outside::written("report.pdf", pdf), out = outside::written("pdfinfo.txt", "");
    if (std::system(("pdfinfo " + in.string() + " > " + out.string()).c_str()) != 0) return {};
    const std::string told = outside::read_back(out);
    Sheet sheet;
    std::sscanf(told.c_str() + told.find("Page size:"), "Page size: %lf x %lf", &sheet.width, &sheet.height);
    std::sscanf(told.c_str() + told.find("Pages:"), "Pages: %d", &sheet.pages);
    return sheet;
}

TEST(Paper, sheets_have_the_size_that_was_asked_for) {
    const auto a4 = render_report(example::full(), example::identity()), letter = render_report(example::full(), example::identity(), Paper::letter);
    ASSERT_TRUE(a4 && letter);
    const Sheet european = sheet_of(a4.value().at(2).bytes), american = sheet_of(letter.value().at(2).bytes);
    constexpr double point = 25.4 / 72.0;
    EXPECT_NEAR(european.width * point, 210.0, 0.2);   // whole points
    EXPECT_NEAR(european.height * point, 297.0, 0.2);
    EXPECT_NEAR(american.width * point / 25.4, 8.5, 0.01);
    EXPECT_NEAR(american.height * point / 25.4, 11.0, 0.01);
    EXPECT_GT(american.pages, 0);
    EXPECT_NE(letter.value().at(1).bytes.find("@page { size: letter"), std::string::npos);
    EXPECT_EQ(letter.value().at(0).bytes, a4.value().at(0).bytes);   // report.json says the same on any paper
}

}  // namespace
}  // namespace perisclera::report
