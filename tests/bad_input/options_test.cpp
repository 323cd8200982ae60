// SPDX-License-Identifier: Apache-2.0
// A scenario or an option that cannot be meant.
#include "tests/bad_input/bad_input.h"

namespace perisclera::test {

PERISCLERA_BAD_INPUT(44, scenarios_and_options_that_are_wrong, "a scenario with an unknown key, a number with a unit, NaN or 1e999, nested 100,000 deep; options that are unknown or no number", "refused as wrong usage; the key is named, or that the text is no JSON",
                     "BAD_SCENARIO, USAGE", "2") {
    const std::filesystem::path scenario = folder() / "scenario.json";
    const auto refused = [&](const std::string& patient, const std::string& series, const std::string& more, const std::string& named) {
        write_bytes(scenario, R"({"seed": 1, "patient": {"id": "SIM-X", "birth_year": )" + patient + R"(}, "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct")" + series + "}]}]" + more + "}");
        const Told told = run({PERISCLERA_PROGRAM, "phantom", scenario.string(), "--out", out().string()});
        expect_refused(told, "BAD_SCENARIO", 2);
        EXPECT_NE(told.ended.error_text.find(named), std::string::npos) << told.ended.error_text;
    };
    refused("1950", "", R"(, "colour": "red")", "\"colour\"");
    refused("1950", R"(, "shade": 1)", "", "\"timepoints[0].series[0].shade\"");
    refused("1950", R"(, "spacing_mm": "0.4 cm")", "", "\"timepoints[0].series[0].spacing_mm\"");
    refused("1950", R"(, "spacing_mm": 400)", "", "\"timepoints[0].series[0].spacing_mm\"");
    refused("\"NaN\"", "", "", "\"patient.birth_year\"");
    refused("NaN", "", "", "not JSON");
    refused("1e999", "", "", "not JSON");
    refused("1950", "", R"(, "eyes": )" + std::string(100'000, '[') + std::string(100'000, ']'), "\"eyes\"");
    write_series(in(), ct_series(5));
    for (const std::vector<std::string>& option : {std::vector<std::string>{"--bogus"}, {"--threads", "nan"}, {"--patient", "1e9"}, {"--eye", "third"}, {"--seed", "1.5"}}) expect_refused(identify(option), "USAGE", 2);
}

PERISCLERA_BAD_INPUT(45, findings_that_are_wrong, "an examiner's findings that are missing, a folder, no JSON, of another format, or hold an unknown member, a misspelt word or a member twice", "refused before an image is read; the place is named, no word of the file is", "BAD_FINDINGS", "3") {
    const std::filesystem::path file = folder() / "findings.json";
    write_series(in(), ct_series(5));
    const auto refused = [&](const std::string& text) {
        write_bytes(file, text);
        expect_refused(identify({"--findings", file.string()}), "BAD_FINDINGS", 3);
    };
    const std::string head = R"({"format": "perisclera-findings", "format_version": 1)";
    for (const std::string text : {R"(, "Zyxwvut": 1})", R"(, "left": {"ductions": {"elevation": {"range": "Zyxwvut"}}}})", R"(, "symptoms": [], "symptoms": []})", ""}) refused(head + text);
    refused("");
    refused("{}");
    std::filesystem::remove(file);
    expect_refused(identify({"--findings", file.string()}), "BAD_FINDINGS", 3);
    std::filesystem::create_directory(file);
    expect_refused(identify({"--findings", file.string()}), "BAD_FINDINGS", 3);
    std::filesystem::remove(file);
}

}  // namespace perisclera::test
