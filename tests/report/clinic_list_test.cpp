// SPDX-License-Identifier: Apache-2.0
// The clinic list in its three forms. CSV is read back by Python's csv module (RFC 4180).
#include "perisclera/report/clinic_list.h"

#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "outside_check.h"
#include "tests/support/child_process.h"
#include "tests/support/register_entries.h"

namespace perisclera::report {

namespace {

using Json = nlohmann::json;

RegisterRow row(const std::string& patient, std::optional<ElementRecord> element) {
    return {patient, PatientText("Doe^Jane"), PatientText("12,\"3"), false, test::day("20220331"), "AB", "2022-04-01", "2023-04-01", std::move(element)};
}

/// One compared, one simulated and measured once, one without an element.
std::vector<RegisterRow> three_rows() {
    ElementRecord compared = test::element("20220331", 812.34), once = test::element("20220331", 500.0);
    compared.last_change = LastChange{test::day("20220331"), "enlarged", Percent(12.34)};
    compared.rate = Measured<Mm3PerYear>(Mm3PerYear(-21.612), Mm3PerYear(-30.0), Mm3PerYear(-10.0));
    std::vector<RegisterRow> rows{row("P1", compared), row("P2", once), row("P3", std::nullopt)};
    rows[1].simulated = true;
    rows[2].reviewed_by = rows[2].reviewed_on = rows[2].next_contact = "";
    return rows;
}

/// Cells by column, line by line, as Python reads them.
std::vector<std::map<std::string, std::string>> read_csv(const std::vector<RegisterRow>& rows, bool with_identity) {
    const auto file = outside::written("list.csv", clinic_csv(rows, with_identity));
    const test::Ended ended = test::run_child({"/usr/bin/python3", PERISCLERA_SOURCE_DIR "/tests/report/read_clinic_csv.py", file.string()});
    EXPECT_EQ(ended.status, 0) << ended.error_text;
    const Json lines = Json::parse(ended.output_text);
    std::vector<std::map<std::string, std::string>> read;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        EXPECT_EQ(lines[i].size(), lines[0].size()) << "line " << i;
        auto& cells = read.emplace_back();
        for (std::size_t c = 0; c < lines[i].size(); ++c) cells[lines[0][c]] = lines[i][c];
    }
    return read;
}

}  // namespace

TEST(ClinicList, csv_is_read_back_by_another_reader) {
    const auto read = read_csv(three_rows(), true);
    ASSERT_EQ(read.size(), 3U);
    const std::map<std::string, std::string> expected{{"patient", "P1"}, {"patient_id", "12,\"3"}, {"patient_name", "Doe^Jane"}, {"last_scan", "2022-03-31"}, {"eye", "right"}, {"element", "R1"},
        {"form", "segmental"}, {"clock_hour", "1"}, {"measured_on", "2022-03-31"}, {"volume_mm3", "812.3"}, {"volume_low", "792.7"}, {"volume_high", "831.9"}, {"material", "hydrogel"},
        {"material_probability", "0.9"}, {"rate_mm3_per_year", "-21.61"}, {"rate_low", "-30"}, {"rate_high", "-10"}, {"verdict", "enlarged"}, {"compared_on", "2022-03-31"},
        {"smallest_change_percent", "12.3"}, {"reviewed_by", "AB"}, {"reviewed_on", "2022-04-01"}, {"next_contact", "2023-04-01"}, {"simulated", ""}, {"caution", clinic_caution()}};
    EXPECT_EQ(read[0], expected);
    EXPECT_EQ(read[1].at("rate_mm3_per_year") + read[1].at("verdict"), "");
    EXPECT_EQ(read[1].at("simulated"), "SIMULATED");
    EXPECT_EQ(read[2].at("element") + read[2].at("volume_mm3") + read[2].at("reviewed_by"), "");
}

TEST(ClinicList, every_line_of_csv_ends_as_the_standard_has_it_and_carries_the_caution) {
    std::istringstream text(clinic_csv(three_rows(), false));
    int lines = 0;
    for (std::string line; std::getline(text, line); ++lines) {
        EXPECT_TRUE(line.ends_with('\r'));
        EXPECT_TRUE(lines == 0 || line.find(clinic_caution()) != std::string::npos);
    }
    EXPECT_EQ(lines, 4);
    EXPECT_NE(clinic_caution().find("Not a medical device"), std::string::npos);
}

// What spreadsheets take for a formula: common practice, no source. A number is none, though it may begin with a minus.
TEST(ClinicList, no_cell_that_a_person_or_an_image_wrote_begins_as_a_formula) {
    for (const std::string formula : {"=1+1", "+1", "-1", "@SUM(A1)", "  =1", "\t=1", "\r=1"}) {
        std::vector<RegisterRow> rows{row("P1", test::element("20220331", 500.0))};
        rows[0].reviewed_by = rows[0].reviewed_on = rows[0].next_contact = formula;   // dates too: somebody may have tampered with the file
        rows[0].name = rows[0].patient_id = PatientText(formula);
        rows[0].element->material = rows[0].element->form = rows[0].element->id = formula;
        const auto read = read_csv(rows, true);
        for (const char* column : {"reviewed_by", "reviewed_on", "next_contact", "patient_name", "patient_id", "material", "form", "element"}) {
            const std::string& cell = read[0].at(column);
            const std::size_t first = cell.find_first_not_of(' ');
            ASSERT_NE(first, std::string::npos);
            EXPECT_EQ(std::string("=+-@\t\r").find(cell[first]), std::string::npos) << column << ": " << cell;
        }
    }
}

TEST(ClinicList, identity_has_columns_only_where_it_was_asked_for) {
    for (const std::string& text : {clinic_table(three_rows(), false), clinic_csv(three_rows(), false), clinic_json(three_rows(), false)}) {
        EXPECT_EQ(text.find("Doe"), std::string::npos);
        EXPECT_EQ(text.find("12,"), std::string::npos);
    }
    for (const std::string& text : {clinic_table(three_rows(), true), clinic_csv(three_rows(), true), clinic_json(three_rows(), true)}) EXPECT_NE(text.find("Doe^Jane"), std::string::npos);
}

TEST(ClinicList, columns_of_the_table_begin_one_below_the_other_also_under_letters_of_several_bytes) {
    std::vector<RegisterRow> rows = three_rows();
    rows[1].reviewed_by = "Ärztin";
    std::istringstream text(clinic_table(rows, false));
    std::vector<std::string> lines;
    for (std::string line; std::getline(text, line);) lines.push_back(line);
    ASSERT_EQ(lines.size(), 7U);
    EXPECT_EQ(lines[0], clinic_caution());
    const std::size_t last_scan = lines[3].find("Last scan"), next_contact = lines[3].find("Next contact");
    for (const std::size_t line : {4U, 5U, 6U}) EXPECT_EQ(lines[line].find("2022-03-31"), last_scan);
    EXPECT_EQ(lines[4].find("2023-04-01"), next_contact);
    EXPECT_EQ(lines[5].find("2023-04-01"), next_contact + 1);   // one byte more for one letter
    EXPECT_NE(lines[5].find("P2 SIMULATED"), std::string::npos);
    EXPECT_EQ(lines[4].find("SIMULATED"), std::string::npos);
}

TEST(ClinicList, json_tells_numbers_with_interval_or_reason) {
    const Json list = Json::parse(clinic_json(three_rows(), false));
    EXPECT_EQ(list["statement"], clinic_caution());
    EXPECT_EQ(list["rows"][0]["element"]["volume_mm3"], Json::parse(R"({"value": 812.3, "ci95": [792.7, 831.9]})"));
    EXPECT_EQ(list["rows"][1]["element"]["volume_mm3_per_year"], Json::parse(R"({"value": null, "why": "measured once"})"));
    EXPECT_EQ(list["rows"][1]["simulated"], true);
    EXPECT_TRUE(list["rows"][2]["element"].is_null() && list["rows"][2]["reviewed_by"].is_null());
}

}  // namespace perisclera::report
