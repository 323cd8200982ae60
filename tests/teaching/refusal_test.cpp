// SPDX-License-Identifier: Apache-2.0
// What cannot become a teaching file ends with the status that the contract gives, one clear line, and nothing written.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

/// Each test has a copy of its own, of images and of their result.
class Refusal : public ::testing::Test {
protected:
    Refusal() {
        fs::copy(small_phantom(), images(), fs::copy_options::recursive);
        fs::copy(result_of_small_phantom(), result(), fs::copy_options::recursive);
    }
    [[nodiscard]] fs::path images() const { return folder_.path() / "images"; }
    [[nodiscard]] fs::path result() const { return folder_.path() / "result"; }
    [[nodiscard]] fs::path out() const { return folder_.path() / "out"; }
    void expect_refused(int status, const std::string& code, const std::vector<std::string>& more = {}) const {
        const Ended told = teach(more);
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
    [[nodiscard]] Ended teach(const std::vector<std::string>& more = {}) const {
        std::vector<std::string> arguments{"teach", result().string(), images().string(), "--out", out().string(), "--quiet"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return run_program(arguments);
    }
    void put_in_every_image(const DcmTagKey& tag, const char* value) const {
        change_every_image([&](DcmDataset& d) { must(d.putAndInsertString(tag, value)); });
    }
    template <class Change>
    void change_every_image(Change change) const {
        for (const auto& entry : fs::recursive_directory_iterator(images())) {
            if (!entry.is_regular_file()) continue;
            DcmFileFormat format;
            must(format.loadFile(entry.path().c_str()));
            must(format.loadAllDataIntoMemory());
            change(*format.getDataset());
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

TEST_F(Refusal, a_picture_that_its_type_calls_a_screen) {
    put_in_every_image(DCM_ImageType, "ORIGINAL\\PRIMARY\\AXIAL\\SCREEN SAVE");
    expect_refused(3, "NO_IMAGES");  // such a series has no role, and is never used
}

TEST_F(Refusal, overlays_and_curves_unless_they_are_dropped) {
    const std::string bits(110 * 110, 'Q');
    change_every_image([&](DcmDataset& d) { must(d.putAndInsertUint8Array(DcmTag(0x6002, 0x3000, EVR_OB), reinterpret_cast<const Uint8*>(bits.data()), bits.size())); });
    expect_refused(3, "BAD_VALUE");
    const Ended taken = teach({"--drop-overlays"});
    EXPECT_EQ(taken.status, 0) << taken.error_text;
    const std::string record = read_bytes(out() / "deidentification.json");
    EXPECT_NE(record.find("6002,3000"), std::string::npos);
    EXPECT_NE(record.find("removed at the user's word"), std::string::npos);
    for (const auto& [name, bytes] : contents_of(out() / "dicom")) EXPECT_EQ(bytes.find("QQQQQQQQ"), std::string::npos) << name;
}

TEST_F(Refusal, a_curve) {
    change_every_image([](DcmDataset& d) { must(d.putAndInsertUint16(DcmTag(0x5000, 0x0005, EVR_US), 1)); });
    expect_refused(3, "BAD_VALUE");
}

// PS3.5 8.1.2 (retired): an overlay in the bits of the pixels that the image does not use; its description alone stands in group 6000.
TEST_F(Refusal, an_overlay_within_unused_bits_of_the_pixels) {
    change_every_image([](DcmDataset& d) {
        must(d.putAndInsertUint16(DcmTag(0x6000, 0x0100, EVR_US), 16));
        must(d.putAndInsertUint16(DcmTag(0x6000, 0x0102, EVR_US), 15));
    });
    expect_refused(3, "BAD_VALUE");
}

// A screenshot with a name drawn into it, which its header keeps quiet about.
TEST_F(Refusal, a_name_drawn_into_the_pixels) {
    // Letters of five by seven pixels: D, O, E.
    const std::vector<std::vector<const char*>> letters{{"####.", "#...#", "#...#", "#...#", "#...#", "#...#", "####."}, {".###.", "#...#", "#...#", "#...#", "#...#", "#...#", ".###."}, {"#####", "#....", "#....", "####.", "#....", "#....", "#####"}};
    fs::remove_all(result());
    change_every_image([&](DcmDataset& d) {
        Uint16 columns = 0;
        const Uint16* pixels = nullptr;
        unsigned long count = 0;
        must(d.findAndGetUint16(DCM_Columns, columns)), must(d.findAndGetUint16Array(DCM_PixelData, pixels, &count));
        std::vector<Uint16> drawn(pixels, pixels + count);
        for (std::size_t k = 0; k < 6; ++k)
            for (std::size_t y = 0; y < 7; ++y)
                for (std::size_t x = 0; x < 5; ++x)
                    if (letters[k % 3][y][x] == '#') drawn[(10 + y) * columns + 8 + 7 * k + x] = 3000;
        must(d.putAndInsertUint16Array(DCM_PixelData, drawn.data(), count));
    });
    ASSERT_EQ(run_program({"identify", images().string(), "--out", result().string(), "--quiet"}).status, 0);
    expect_refused(3, "BAD_VALUE");
    EXPECT_NE(teach().error_text.find("series 1 of the result, slice 1"), std::string::npos) << teach().error_text;
}

TEST_F(Refusal, a_key_within_the_teaching_file_or_one_that_others_may_read_or_one_that_is_none) {
    expect_refused(2, "USAGE", {"--key", (out() / "key.json").string()});
    const fs::path key = folder_.path() / "key.json";
    write_bytes(key, "mine");
    fs::permissions(key, fs::perms(0644));
    expect_refused(2, "USAGE", {"--key", key.string()});
    fs::permissions(key, fs::perms(0600));
    expect_refused(3, "BAD_VALUE", {"--key", key.string()});
    EXPECT_EQ(read_bytes(key), "mine");
    fs::create_symlink(key, folder_.path() / "link");
    expect_refused(2, "USAGE", {"--key", (folder_.path() / "link").string()});
}

TEST_F(Refusal, leaves_no_key_behind) {
    put_in_every_image(DCM_BurnedInAnnotation, "YES");
    expect_refused(3, "BAD_VALUE", {"--key", (folder_.path() / "key.json").string()});
    for (const auto& entry : fs::directory_iterator(folder_.path())) EXPECT_TRUE(entry.path() == images() || entry.path() == result()) << entry.path();
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
