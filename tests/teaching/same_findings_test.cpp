// SPDX-License-Identifier: Apache-2.0
// Images cut down to the orbits still show the same: presence, label, and every measurement inside the original's 95 % interval. What needs more than the orbits must be withheld with its reason.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/teaching/teach_run.h"

namespace perisclera::test {

namespace {

using Json = nlohmann::json;

void compare(const Json& whole, const Json& cut, const std::string& where, int& measured) {
    if (whole.is_object() && whole.contains("ci95")) {
        const Json& value = cut.at("value");
        if (value.is_null()) {
            EXPECT_FALSE(cut.at("why").get<std::string>().empty()) << where;
            return;
        }
        ++measured;
        EXPECT_GE(value.get<double>(), whole["ci95"][0].get<double>()) << where;
        EXPECT_LE(value.get<double>(), whole["ci95"][1].get<double>()) << where;
    } else if (whole.is_object()) {
        for (const auto& [name, value] : whole.items()) {
            if (name != "sections" && name != "evidence" && cut.contains(name))
                compare(value, cut[name], where + "/" + name, measured);
        }
    } else if (whole.is_array() && cut.is_array() && whole.size() == cut.size()) {
        for (std::size_t k = 0; k < whole.size(); ++k) compare(whole[k], cut[k], where + "/" + std::to_string(k), measured);
    }
}

}  // namespace

TEST(SameFindings, presence_label_and_measurements_agree_with_the_whole_images) {
    const Json whole = Json::parse(read_bytes(teach_run().result / "report.json")), cut = Json::parse(read_bytes(teach_run().out / "answer/report.json"));
    ASSERT_EQ(whole["timepoints"].size(), 2U);
    ASSERT_EQ(cut["timepoints"].size(), 2U);
    int measured = 0;
    for (std::size_t t = 0; t < 2; ++t)
        for (const char* eye : {"right", "left"}) {
            const Json &before = whole["timepoints"][t]["eyes"][eye], &after = cut["timepoints"][t]["eyes"][eye];
            EXPECT_EQ(after["explant"]["presence"], before["explant"]["presence"]);
            ASSERT_EQ(after["elements"].size(), before["elements"].size());
            for (std::size_t k = 0; k < before["elements"].size(); ++k) EXPECT_EQ(after["elements"][k]["material"]["label"], before["elements"][k]["material"]["label"]);
            compare(before, after, eye, measured);
            // The region itself is symmetric about the globes, so that nothing may be measured against the head.
            EXPECT_TRUE(after["mass_effect"]["globe_offset_mm"]["anterior"]["value"].is_null());
        }
    EXPECT_GT(measured, 30);
}

TEST(SameFindings, identify_by_itself_reads_the_teaching_images_alike_with_their_selections_beside) {
    TestFolder folder;
    ASSERT_TRUE(std::filesystem::exists(teach_run().out / "dicom/key-objects-1.dcm"));
    const Ended again = run_program({"identify", (teach_run().out / "dicom").string(), "--out", (folder.path() / "again").string(), "--quiet"});
    ASSERT_EQ(again.status, 0) << again.error_text;
    const Json own = Json::parse(read_bytes(folder.path() / "again/report.json")), taught = Json::parse(read_bytes(teach_run().out / "answer/report.json"));
    for (std::size_t t = 0; t < 2; ++t)
        for (const char* eye : {"right", "left"}) EXPECT_EQ(own["timepoints"][t]["eyes"][eye]["elements"], taught["timepoints"][t]["eyes"][eye]["elements"]);
}

// The record's own numbers are held against a count of this test's: tissue (above -300 HU) that is left where the whole image shows it first from the front.
TEST(SameFindings, little_of_the_face_is_left) {
    const Json record = Json::parse(read_bytes(teach_run().out / "deidentification.json"));
    for (const Json& series : record["series"]) {
        EXPECT_GT(series["face_surface"]["imaged_mm2"].get<double>(), 1000.0);
        EXPECT_LE(series["face_surface"]["kept_share"].get<double>(), 0.02);
    }
    const auto front_of = [](const std::filesystem::path& folder) {
        std::map<std::pair<long, long>, double> front;  // tenths of a millimetre left and up: first tissue from the front, y
        for (const auto& [name, bytes] : contents_of(folder)) {
            DcmFileFormat format;
            must(format.loadFile((folder / name).c_str()));
            DcmDataset& d = *format.getDataset();
            Float64 x0 = 0, y0 = 0, z = 0, dy = 0, dx = 0, slope = 1, intercept = 0;
            must(d.findAndGetFloat64(DCM_ImagePositionPatient, x0, 0)), must(d.findAndGetFloat64(DCM_ImagePositionPatient, y0, 1)), must(d.findAndGetFloat64(DCM_ImagePositionPatient, z, 2));
            must(d.findAndGetFloat64(DCM_PixelSpacing, dy, 0)), must(d.findAndGetFloat64(DCM_PixelSpacing, dx, 1));
            must(d.findAndGetFloat64(DCM_RescaleSlope, slope)), must(d.findAndGetFloat64(DCM_RescaleIntercept, intercept));
            Uint16 rows = 0, columns = 0;
            must(d.findAndGetUint16(DCM_Rows, rows)), must(d.findAndGetUint16(DCM_Columns, columns));
            const Uint16* pixels = nullptr;
            must(d.findAndGetUint16Array(DCM_PixelData, pixels));
            for (int x = 0; x < columns; ++x)
                for (int y = 0; y < rows; ++y)
                    if (pixels[y * columns + x] * slope + intercept > -300.0) {
                        front[{std::lround(10.0 * (x0 + x * dx)), std::lround(10.0 * z)}] = y0 + y * dy;
                        break;
                    }
        }
        return front;
    };
    const auto whole = front_of(teach_run().in / "first"), cut = front_of(teach_run().out / "dicom/t1");
    int same = 0;
    for (const auto& [place, y] : whole) {
        const auto found = cut.find(place);
        same += found != cut.end() && std::abs(found->second - y) < 0.35;  // half a pixel
    }
    EXPECT_GT(whole.size(), 3000U);
    EXPECT_LT(static_cast<double>(same) / static_cast<double>(whole.size()), 0.03) << same << " of " << whole.size();
}

}  // namespace perisclera::test
