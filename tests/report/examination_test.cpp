// SPDX-License-Identifier: Apache-2.0
// The outside truth: docs/findings.schema.json as read by Debian's python3-jsonschema. Parser and schema must agree on every file, sound or not.
#include "perisclera/report/examination.h"

#include <gtest/gtest.h>

#include "tests/report/outside_check.h"

namespace perisclera::report {
namespace {

const std::string schema_path = std::string(PERISCLERA_SOURCE_DIR) + "/docs/findings.schema.json";
const std::string head = R"("format": "perisclera-findings", "format_version": 1)";

int by_schema(const std::string& text) { return outside::run("validate_report.py", schema_path + " " + outside::written("findings.json", text).string()); }

void expect_refused(const std::string& text, const std::string& named) {
    const auto read = parse_examination(text);
    ASSERT_FALSE(read) << text;
    EXPECT_EQ(read.error().code, ErrorCode::bad_findings);
    EXPECT_NE(read.error().what.find(named), std::string::npos) << read.error().what;
}

TEST(Examination, every_member_is_read) {
    const std::string text = "{" + head + R"(, "examined_on": "2024-05-20", "deviation": {"horizontal": "esotropia", "horizontal_prism_dioptres": 12.5, "vertical": "left_eye_higher",
        "vertical_prism_dioptres": 8, "torsion": "excyclotorsion"}, "symptoms": ["double_vision", "pain"], "note": "free words",
        "left": {"ductions": {"elevation": {"range": "limited", "forced_duction": "restricted", "force_generation": "normal"}, "depression_in_adduction": {"range": "full"}},
        "slit_lamp": ["conjunctiva_raised", "element_exposed"]}, "right": {}})";
    EXPECT_EQ(by_schema(text), 0);
    const auto read = parse_examination(text);
    ASSERT_TRUE(read) << read.error().what;
    const Examination& e = read.value();
    EXPECT_EQ(e.examined_on->iso(), "2024-05-20");
    EXPECT_EQ(e.deviation.horizontal, HorizontalDeviation::esotropia);
    EXPECT_EQ(e.deviation.horizontal_prism_dioptres, 12.5);
    EXPECT_EQ(e.deviation.vertical, VerticalDeviation::left_eye_higher);
    EXPECT_EQ(e.deviation.vertical_prism_dioptres, 8.0);
    EXPECT_EQ(e.deviation.torsion, Torsion::excyclotorsion);
    EXPECT_EQ(e.symptoms, (std::vector{Symptom::double_vision, Symptom::pain}));
    EXPECT_EQ(e.left.of(Movement::elevation).range, MovementRange::limited);
    EXPECT_EQ(e.left.of(Movement::elevation).forced, ForcedDuction::restricted);
    EXPECT_EQ(e.left.of(Movement::elevation).force, ForceGeneration::normal);
    EXPECT_EQ(e.left.of(Movement::depression_in_adduction).range, MovementRange::full);
    EXPECT_EQ(e.left.slit_lamp, (std::vector{SlitLampSign::conjunctiva_raised, SlitLampSign::element_exposed}));
    for (const Movement m : all_movements) EXPECT_FALSE(e.right.of(m).range || e.right.of(m).forced || e.right.of(m).force);
}

TEST(Examination, what_is_left_out_was_not_told) {
    const auto read = parse_examination("{" + head + "}");
    ASSERT_TRUE(read);
    EXPECT_FALSE(read.value().examined_on || read.value().deviation.horizontal || read.value().deviation.vertical || read.value().deviation.torsion);
    EXPECT_TRUE(read.value().symptoms.empty());
}

TEST(Examination, wrong_files_are_refused_by_parser_and_schema_alike) {
    const auto both = [](const std::string& rest, const std::string& named) {
        const std::string text = "{" + head + ", " + rest + "}";
        EXPECT_EQ(by_schema(text), 1) << text;
        expect_refused(text, named);
    };
    both(R"("colour": "red")", "unknown member");
    both(R"("left": {"ductions": {"upwards": {}}})", "\"left.ductions\" has an unknown member");
    both(R"("left": {"ductions": {"elevation": {"range": "Limited"}}})", "\"left.ductions.elevation.range\" must be one of full, limited");
    both(R"("left": {"ductions": {"elevation": "limited"}})", "\"left.ductions.elevation\" must be an object");
    both(R"("right": {"slit_lamp": "redness"})", "\"right.slit_lamp\" must be a list");
    both(R"("right": {"slit_lamp": ["redness", "redness"]})", "twice");
    both(R"("right": {"slit_lamp": ["element_not_seen", "element_exposed"]})", "says both");
    both(R"("symptoms": ["none", "pain"])", "says none");
    both(R"("deviation": {"vertical_prism_dioptres": -1})", "a number from 0 to 150");
    both(R"("deviation": {"vertical_prism_dioptres": "8"})", "a number from 0 to 150");
    both(R"("examined_on": "20.05.2024")", "YYYY-MM-DD");
    both(R"("note": 5)", "must be text");
}

// What a schema cannot say: a day that the calendar lacks, and a member named twice, of which RFC 8259 (section 4) leaves open which counts.
TEST(Examination, what_a_schema_cannot_refuse_the_parser_does) {
    expect_refused("{" + head + R"(, "examined_on": "2023-02-29"})", "YYYY-MM-DD");
    expect_refused("{" + head + R"(, "symptoms": ["pain"], "symptoms": []})", "twice");
    expect_refused("{" + head + R"(, "left": )" + std::string(100'000, '[') + std::string(100'000, ']') + "}", "nests too deep");
    expect_refused("{" + head + R"(, "deviation": {"vertical_prism_dioptres": NaN}})", "not JSON");
    expect_refused("", "not JSON");
    expect_refused("[]", "object");
    expect_refused(R"({"format_version": 1})", "perisclera-findings");
    expect_refused(R"({"format": "perisclera-findings", "format_version": 2})", "\"format_version\" must be 1");
}

TEST(Examination, no_word_of_the_file_gets_into_the_error) {
    for (const std::string text : {R"(, "Zyxwvut": 1})", R"(, "left": {"Zyxwvut": 1}})", R"(, "symptoms": ["Zyxwvut"]})", R"(, "note": ["Zyxwvut"]})", R"(, "examined_on": "Zyxwvut"})"}) {
        const auto read = parse_examination("{" + head + text);
        ASSERT_FALSE(read);
        EXPECT_EQ(one_line(read.error()).find("Zyxwvut"), std::string::npos);
    }
}

}  // namespace
}  // namespace perisclera::report
