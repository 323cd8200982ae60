// SPDX-License-Identifier: Apache-2.0
// What cannot become a teaching file ends with the status that the contract gives, one clear line, and nothing written.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

class Refusal : public ::testing::Test {
protected:
    Refusal() {
        fs::copy(small_phantom(), images(), fs::copy_options::recursive);
        EXPECT_EQ(run_program({"identify", images().string(), "--out", result().string(), "--quiet"}).status, 0);
    }
    [[nodiscard]] fs::path images() const { return folder_.path() / "images"; }
    [[nodiscard]] fs::path result() const { return folder_.path() / "result"; }
    [[nodiscard]] fs::path out() const { return folder_.path() / "out"; }
    void expect_refused(int status, const std::string& code, const std::vector<std::string>& more = {}) const {
        std::vector<std::string> arguments{"teach", result().string(), images().string(), "--out", out().string(), "--quiet"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Ended told = run_program(arguments);
        EXPECT_EQ(told.status, status) << told.error_text;
        EXPECT_TRUE(told.error_text.starts_with("error[" + code + "]")) << told.error_text;
        EXPECT_FALSE(fs::exists(out()));
    }
    template <class Change>
    void change_report(Change change) const {
        auto report = nlohmann::json::parse(read_bytes(result() / "report.json"));
        change(report);
        write_bytes(result() / "report.json", report.dump());
    }
    void put_in_every_image(const DcmTagKey& tag, const char* value) const {
        for (const auto& entry : fs::recursive_directory_iterator(images())) {
            if (!entry.is_regular_file()) continue;
            DcmFileFormat format;
            must(format.loadFile(entry.path().c_str()));
            must(format.loadAllDataIntoMemory());
            must(format.getDataset()->putAndInsertString(tag, value));
            must(format.saveFile(entry.path().c_str(), EXS_LittleEndianExplicit));
        }
    }
    TestFolder folder_;
};

}  // namespace

TEST_F(Refusal, a_result_of_another_format) {
    change_report([](auto& report) { report["format_version"] = 0; });
    expect_refused(3, "BAD_VALUE");
}

TEST_F(Refusal, a_result_that_states_no_digests) {
    change_report([](auto& report) {
        for (auto& series : report["timepoints"][0]["series"]) series.erase("digest");
    });
    expect_refused(3, "BAD_VALUE");
}

TEST_F(Refusal, a_result_that_is_none) {
    write_bytes(result() / "report.json", "[1, 2");
    expect_refused(3, "BAD_VALUE");
    fs::remove(result() / "report.json");
    expect_refused(3, "BAD_VALUE");
}

TEST_F(Refusal, a_series_that_is_missing) {
    change_report([](auto& report) {
        auto more = report["timepoints"][0]["series"][0];
        more["series_uid"] = "1.2.3.4";
        report["timepoints"][0]["series"].push_back(more);
    });
    expect_refused(3, "NO_IMAGES");
}

TEST_F(Refusal, images_of_another_result) {
    change_report([](auto& report) { report["timepoints"][0]["series"][0]["digest"] = "sha256:00"; });
    expect_refused(3, "CONFLICTING_VALUES");
}

TEST_F(Refusal, an_image_that_says_that_text_is_burned_in) {
    put_in_every_image(DCM_BurnedInAnnotation, "YES");
    expect_refused(3, "BAD_VALUE");
}

TEST_F(Refusal, a_picture_of_a_screen) {
    put_in_every_image(DCM_ConversionType, "WSD");
    expect_refused(3, "BAD_VALUE");
}

TEST_F(Refusal, a_key_within_the_teaching_file_or_in_place_of_another) {
    expect_refused(2, "USAGE", {"--key", (out() / "key.json").string()});
    write_bytes(folder_.path() / "key.json", "mine");
    expect_refused(2, "OUTPUT_NOT_EMPTY", {"--key", (folder_.path() / "key.json").string()});
    EXPECT_EQ(read_bytes(folder_.path() / "key.json"), "mine");
}

TEST_F(Refusal, a_history_that_holds_the_patients_number) {
    write_bytes(folder_.path() / "history.txt", "Patient sim-small, seen for double vision.");
    expect_refused(2, "USAGE", {"--history", (folder_.path() / "history.txt").string()});
}

TEST_F(Refusal, output_that_is_there) {
    fs::create_directories(out());
    write_bytes(out() / "mine", "mine");
    const Ended told = run_program({"teach", result().string(), images().string(), "--out", out().string(), "--quiet"});
    EXPECT_EQ(told.status, 2);
    EXPECT_EQ(contents_of(out()).size(), 1U);
}

}  // namespace perisclera::test
