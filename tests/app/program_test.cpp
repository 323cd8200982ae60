// SPDX-License-Identifier: Apache-2.0
// Usage, output that cannot be written, and the end by a signal, on the built program: its exit status and one clear line (source: the list
// of exit statuses in the README), an output folder that is absent or untouched, inputs left alone. Bad input has its own tests.
#include <unistd.h>

#include <cstdlib>
#include <clocale>
#include <csignal>
#include <filesystem>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "tests/support/child_process.h"
#include "tests/support/dicom_slice.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

using Contents = std::map<fs::path, std::string>;

constexpr TagNumber patient_name{0x0010, 0x0010};
constexpr const char* planted_name = "Zyxwvut^Qponmlk";

/// Twenty-four CT slices of 32 x 32 pixels, 1 mm apart: a ramp, so no eye is in them.
std::vector<DicomSlice> ct_series() {
    DicomSlice prototype;
    prototype.rows = prototype.columns = 32;
    prototype.text[patient_name] = planted_name;
    return series_of(24, {0, 0, 0}, {0, 0, 1}, prototype);
}

class Program : public ::testing::Test {
protected:
    fs::path in() const { return folder_.path() / "in"; }
    fs::path out() const { return folder_.path() / "out"; }
    void SetUp() override { fs::create_directories(in()); }

    Ended perisclera(std::vector<std::string> arguments, const ChildLimits& limits = {}) const {
        arguments.insert(arguments.begin(), PERISCLERA_PROGRAM);
        return run_child(arguments, limits);
    }
    Ended identify(std::vector<std::string> more = {}, const ChildLimits& limits = {}) const {
        std::vector<std::string> arguments{"identify", in().string(), "--out", out().string(), "--quiet"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return perisclera(arguments, limits);
    }

    /// Status, exactly one line of the documented form, and nothing but the inputs, unchanged, in the test's folder.
    void expect_refused(const std::function<Ended()>& run, int status, const std::string& code) const {
        const Contents before = contents_of(folder_.path());
        const Ended ended = run();
        EXPECT_EQ(ended.status, status);
        const std::regex one_line("error\\[(?:" + code + ")\\] [^\n:]+: [^\n:]+: [^\n]+\n");
        EXPECT_TRUE(std::regex_match(ended.error_text, one_line)) << ended.error_text;
        EXPECT_EQ(ended.output_text, "");
        EXPECT_EQ(ended.error_text.find("Zyxwvut"), std::string::npos);
        EXPECT_EQ(contents_of(folder_.path()), before);
    }
    nlohmann::json report() const { return nlohmann::json::parse(read_bytes(out() / "report.json")); }

    static bool warns_of(const nlohmann::json& report, const std::string& code) {
        for (const auto& warning : report["warnings"])
            if (warning["code"] == code) return true;
        return false;
    }

    TestFolder folder_;
};

/// Ignores rights, as the super-user does: a folder that cannot be written is then another kind of file system.
bool rights_hold() { return ::geteuid() != 0; }

}  // namespace

TEST_F(Program, a_patient_number_that_survey_did_not_give_is_wrong_usage) {
    write_series(in(), ct_series());
    expect_refused([&] { return identify({"--patient", "5"}); }, 2, "USAGE");
}

TEST_F(Program, an_operation_that_cannot_be_is_wrong_usage) {
    write_series(in(), ct_series());
    for (const std::vector<std::string>& told : {std::vector<std::string>{"--surgery-date", "88"}, {"--surgery-date", "1988-13"}, {"--surgery-date", "above:1988"}, {"--surgery-date", "Zyxwvut"},
                                                 {"--surgery-date", "1988", "--surgery-date", "left:1990"}, {"--surgery-date", "2090"}, {"--recorded-material", "gel"},
                                                 {"--recorded-material", "hydrogel", "--recorded-material", "right:hydrogel"},
                                                 {"--recorded-section", "5.5"}, {"--recorded-section", "5.5x0"}, {"--recorded-section", "5.5x3.3mm"}, {"--recorded-section", "-5.5x3.3"},
                                                 {"--recorded-section", "5.5x3.3", "--recorded-section", "left:5x3"}})
        expect_refused([&] { return identify(told); }, 2, "USAGE");
    EXPECT_EQ(identify({"--surgery-date", "right:1988-05-12", "--surgery-date", "left:1990", "--recorded-material", "left:silicone_sponge", "--recorded-section", "right:5.5x3.3"}).status, 4) << "told, but no eye is in these images";
}

TEST_F(Program, shares_of_the_materials_are_four_that_sum_to_one_and_are_recorded) {
    write_series(in(), ct_series());
    for (const char* wrong : {"solid_silicone=0.5,silicone_sponge=0.5", "solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.2,other=0.2", "0.4,0.3,0.2,0.1", "solid_silicone=1,silicone_sponge=0,hydrogel=0,other=0", ""})
        expect_refused([&] { return identify({"--material-shares", wrong}); }, 2, "USAGE");
    EXPECT_EQ(identify({"--material-shares", "hydrogel=0.2,solid_silicone=0.4,silicone_sponge=0.3,other=0.1"}).status, 4) << "taken, but no eye is in these images";
    EXPECT_EQ(report()["program"]["options"]["material_shares"], "solid_silicone=0.4,silicone_sponge=0.3,hydrogel=0.2,other=0.1");
    EXPECT_EQ(identify({"--force"}).status, 4);
    EXPECT_FALSE(report()["program"]["options"].contains("material_shares")) << "the program's own are no option";
}

TEST_F(Program, json_on_standard_output_is_the_report_and_survey_names_nobody) {
    write_series(in(), ct_series());
    const Ended ended = identify({"--json"});
    EXPECT_EQ(nlohmann::json::parse(ended.output_text), report());
    for (const std::vector<std::string>& how : {std::vector<std::string>{"survey", in().string()}, {"survey", in().string(), "--json"}}) {
        const Ended told = perisclera(how);
        EXPECT_EQ(told.status, 0);
        EXPECT_EQ((told.output_text + told.error_text).find("Zyxwvut"), std::string::npos);
    }
}

TEST_F(Program, an_output_folder_that_is_not_empty_needs_force) {
    write_series(in(), ct_series());
    fs::create_directories(out());
    write_bytes(out() / "kept.txt", "mine");
    expect_refused([&] { return identify(); }, 2, "OUTPUT_NOT_EMPTY");
    EXPECT_EQ(identify({"--force"}).status, 4);
    EXPECT_EQ(read_bytes(out() / "kept.txt"), "mine");
    EXPECT_TRUE(fs::exists(out() / "report.json"));
}

TEST_F(Program, output_below_a_file_cannot_be_written) {
    write_series(in(), ct_series());
    write_bytes(folder_.path() / "file", "mine");
    expect_refused([&] { return perisclera({"identify", in().string(), "--quiet", "--out", (folder_.path() / "file" / "out").string()}); }, 5, "OUTPUT_FAILED");
}

TEST_F(Program, output_in_a_folder_without_the_right_to_write_fails) {
    // The super-user may write anywhere but in the kernel's own folders.
    write_series(in(), ct_series());
    fs::path place = "/proc";
    if (rights_hold()) {
        place = folder_.path() / "locked";
        fs::create_directories(place);
        fs::permissions(place, fs::perms::owner_read | fs::perms::owner_exec);
    }
    expect_refused([&] { return perisclera({"identify", in().string(), "--quiet", "--out", (place / "out").string()}); }, 5, "OUTPUT_FAILED");
}

TEST_F(Program, a_full_disk_leaves_nothing_behind) {
    write_series(in(), ct_series());
    ChildLimits limits;
    limits.file_bytes = 2000;   // less than any page of the report
    expect_refused([&] { return identify({}, limits); }, 5, "OUTPUT_FAILED");
    EXPECT_FALSE(fs::exists(out()));
}

TEST_F(Program, output_inside_an_input_is_wrong_usage) {
    write_series(in(), ct_series());
    expect_refused([&] { return perisclera({"identify", in().string(), "--out", (in() / "out").string()}); }, 2, "OUTPUT_INSIDE_INPUT");
}

TEST_F(Program, a_command_that_is_missing_or_unknown_or_lacks_its_output_is_wrong_usage) {
    expect_refused([&] { return perisclera({"frobnicate"}); }, 2, "USAGE");
    expect_refused([&] { return perisclera({}); }, 2, "USAGE");
    expect_refused([&] { return perisclera({"identify", in().string()}); }, 2, "USAGE");
}

TEST_F(Program, one_date_cannot_be_tracked_but_is_reported) {
    write_series(in(), ct_series());
    const Ended ended = perisclera({"track", in().string(), "--out", out().string(), "--quiet"});
    EXPECT_EQ(ended.status, 4);
    EXPECT_TRUE(warns_of(report(), "CANNOT_COMPARE"));
}

TEST_F(Program, questions_about_the_program_are_answered) {
    for (const char* question : {"--limits", "--version", "--help"}) {
        const Ended ended = perisclera({question});
        EXPECT_EQ(ended.status, 0) << question;
        EXPECT_NE(ended.output_text, "") << question;
        EXPECT_EQ(ended.error_text, "") << question;
    }
}

// The environment that users set, rather than the call that the libraries' own test makes.
TEST_F(Program, a_locale_with_comma_decimals_changes_no_byte) {
    if (std::setlocale(LC_ALL, "de_DE.UTF-8") == nullptr) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "the test command makes a locale with comma decimals";
        GTEST_SKIP() << "no locale with comma decimals is installed";
    }
    std::setlocale(LC_ALL, "C");
    write_series(in(), ct_series());
    EXPECT_EQ(identify().status, 4);
    const std::string plain = read_bytes(out() / "report.json");
    fs::remove_all(out());
    EXPECT_EQ(run_child({"/usr/bin/env", "LC_ALL=de_DE.UTF-8", PERISCLERA_PROGRAM, "identify", in().string(), "--out", out().string(), "--quiet"}).status, 4);
    EXPECT_EQ(read_bytes(out() / "report.json"), plain);
    EXPECT_NE(plain, "");
}

// 143 = 128 + SIGTERM, as shells count it. The signal is sent once the program says that it works.
TEST_F(Program, a_run_that_is_told_to_end_leaves_nothing_behind) {
    const fs::path scenario = folder_.path() / "scenario.json";
    write_bytes(scenario, R"({"seed": 1, "patient": {"id": "SIM-X", "birth_year": 1950},
                              "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 1.0, "slice_thickness_mm": 4}, {"kind": "ct"}, {"kind": "ct"}]}]})");
    const Contents before = contents_of(folder_.path());
    ChildLimits limits;
    limits.end_at_first_error_text = SIGTERM;
    const Ended ended = perisclera({"phantom", scenario.string(), "--out", out().string(), "--threads", "1"}, limits);
    EXPECT_EQ(ended.status, 143) << ended.error_text;
    EXPECT_EQ(contents_of(folder_.path()), before);
    EXPECT_EQ(std::distance(fs::directory_iterator(folder_.path()), fs::directory_iterator{}), 2) << "a folder aside is left";
}

TEST_F(Program, a_family_of_phantoms_is_made_in_shards_and_goes_on_where_it_was_stopped) {
    const auto family = [&](const char* ends) {
        write_bytes(folder_.path() / "family.json", R"({"scenario": {"seed": 1, "patient": {"id": "SIM-FAMILY", "birth_year": 1950},
            "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 3, "slice_thickness_mm": 4, "field_mm": [40, 40, 20]}]}]},
            "grid": {"/timepoints/0/series/0/noise": [)" + std::string(ends) + "]}}");
    };
    const auto sweep = [&](std::vector<std::string> more) {
        std::vector<std::string> arguments{"phantom", (folder_.path() / "family.json").string(), "--sweep", "--out", out().string(), "--quiet"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return perisclera(arguments);
    };
    const auto members = [&] {
        std::set<std::string> names;
        for (const auto& entry : fs::directory_iterator(out())) names.insert(entry.path().filename().string());
        return names;
    };
    family("0, 5, 10");
    EXPECT_EQ(sweep({"--shard", "2/2"}).status, 0);
    EXPECT_EQ(members(), std::set<std::string>{"000002"});
    const auto first = fs::last_write_time(out() / "000002" / "truth.json");
    EXPECT_EQ(sweep({}).status, 0);
    EXPECT_EQ(members(), (std::set<std::string>{"000001", "000002", "000003"}));
    EXPECT_EQ(fs::last_write_time(out() / "000002" / "truth.json"), first) << "what is there is not made again";
    // A member alone is what its scenario gives.
    EXPECT_EQ(perisclera({"phantom", (out() / "000003" / "scenario.json").string(), "--out", (folder_.path() / "alone").string(), "--quiet"}).status, 0);
    auto made = contents_of(out() / "000003");
    std::erase_if(made, [](const auto& file) { return file.first.filename() == "scenario.json"; });
    EXPECT_EQ(made.size(), contents_of(folder_.path() / "alone").size());
    for (const auto& [path, bytes] : made)
        if (fs::is_regular_file(path)) {
            EXPECT_EQ(read_bytes(path), read_bytes(folder_.path() / "alone" / fs::relative(path, out() / "000003"))) << path;
        }

    family("0, 6, 10");
    expect_refused([&] { return sweep({}); }, 2, "OUTPUT_NOT_EMPTY");
    for (const char* shard : {"0/2", "3/2", "1", "1/2x", "a/b"}) expect_refused([&] { return sweep({"--shard", shard}); }, 2, "USAGE");
    family("0, -1");
    expect_refused([&] { return sweep({}); }, 2, "BAD_SCENARIO");
}

}  // namespace perisclera::test
