// SPDX-License-Identifier: Apache-2.0
// Every form of a report says the same: check_numbers_once.py reads report.json, the page, the PDF (by pdftotext) and fhir.json each in its own way.
#include <gtest/gtest.h>

#include "perisclera/report/fhir.h"
#include "perisclera/report/render_report.h"
#include "tests/report/example_report.h"
#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

/// The script's exit status; `damage` may change one of the files before they are read.
int compared(const ReportModel& m, const std::string& wanted = "", const std::string& put = "", std::size_t file = 0) {
    const auto files = render_report(m, example::identity());
    if (!files) return -1;
    std::vector<std::string> bytes{files.value().at(0).bytes, files.value().at(1).bytes, outside::text_of_pdf(files.value().at(2).bytes), to_fhir(m, nullptr)};
    if (!wanted.empty()) {
        EXPECT_NE(bytes[file].find(wanted), std::string::npos) << wanted;
        for (std::size_t at = bytes[file].find(wanted); at != std::string::npos; at = bytes[file].find(wanted, at + put.size())) bytes[file].replace(at, wanted.size(), put);
    }
    std::string arguments;
    constexpr std::array names{"report.json", "report.html", "report.txt", "fhir.json"};
    for (std::size_t k = 0; k < names.size(); ++k) arguments += " " + outside::written(names[k], bytes[k]).string();
    return outside::run("check_numbers_once.py", arguments);
}

TEST(NumbersOnce, all_forms_say_the_same) { EXPECT_EQ(compared(example::full()), 0); }
TEST(NumbersOnce, all_forms_say_the_same_of_two_eyes_and_undetermined_material) { EXPECT_EQ(compared(example::undetermined()), 0); }
TEST(NumbersOnce, all_forms_say_the_same_where_nothing_was_measured) { EXPECT_EQ(compared(example::unmeasured()), 0); }

// So that the comparison is known to look at each form.
TEST(NumbersOnce, a_form_that_says_something_else_is_told) {
    EXPECT_EQ(compared(example::full(), "Volume 838 mm³", "Volume 839.5 mm³", 1), 1);
    EXPECT_EQ(compared(example::full(), "Volume 838 mm³", "Volume 836 mm³", 2), 1);
    EXPECT_EQ(compared(example::full(), "Material: hydrogel", "Material: solid silicone", 1), 1);
    EXPECT_EQ(compared(example::full(), "Enlarged since", "Smaller than on", 2), 1);
    EXPECT_EQ(compared(example::full(), "volume 838 mm³", "volume 383 mm³", 1), 1);
    EXPECT_EQ(compared(example::full(), "Impression</h2>\n<p>Right eye: explant present, almost certain (over 99 %): R1, segmental, 12 to 3 o&#39;clock (upper nasal), hydrogel",
                       "Impression</h2>\n<p>Right eye: explant present, almost certain (over 99 %): R1, segmental, 12 to 3 o&#39;clock (upper nasal), silicone sponge", 1), 1);
    EXPECT_EQ(compared(example::full(), "\"code\": \"present\"", "\"code\": \"absent\"", 3), 1);
    EXPECT_EQ(compared(example::full(), "\"value\": 837.8", "\"value\": 837.9", 3), 1);
}

}  // namespace
}  // namespace perisclera::report
