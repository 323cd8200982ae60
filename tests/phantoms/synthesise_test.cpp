// SPDX-License-Identifier: Apache-2.0
// Outside checks: dciodvfy for the objects; the documented layout of truth.json; DICOM's own tags for what is simulated.
#include "phantoms/synthesise.h"

#include <cstdlib>

#include <gtest/gtest.h>
#include <unistd.h>

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

namespace perisclera::phantoms {
namespace {

namespace fs = std::filesystem;

const std::string scenario_text = R"({"seed": 8, "patient": {"id": "SIM-TEST", "sex": "F", "birth_year": 1950},
  "eyes": {"right": {"elements": [{"material": "solid_silicone", "form": "encircling", "limbus_mm": 12, "width_mm": 2.5, "thickness_mm": 0.75, "indentation_mm": 0.5}]}},
  "timepoints": [
    {"study_date": "2010-01-31", "series": [{"kind": "ct", "kvp": 100, "kernel": "bone", "field_mm": [90, 40, 20], "slice_thickness_mm": 4},
                                            {"kind": "t1", "plane": "coronal", "field_mm": [90, 20, 40], "slice_thickness_mm": 4, "pose_deg": [3, -2, 4]},
                                            {"kind": "t2_fatsat", "field_mm": [90, 40, 20], "slice_thickness_mm": 5}]},
    {"study_date": "2015-06-01", "series": [{"kind": "stir", "plane": "sagittal", "field_mm": [20, 40, 40], "slice_thickness_mm": 5}]}]})";

class SynthesiseTest : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        root_ = fs::temp_directory_path() / ("perisclera-synthesise-" + std::to_string(::getpid()));
        fs::remove_all(root_);
        make(root_ / "one", 1);
        make(root_ / "two", 2);
    }
    static void TearDownTestSuite() { fs::remove_all(root_); }
    static void make(const fs::path& path, unsigned threads) {
        const auto scenario = parse_scenario(scenario_text);
        ASSERT_TRUE(scenario) << scenario.error().what;
        auto out = OutputFolder::open(path, false);
        ASSERT_TRUE(out);
        std::vector<std::array<int, 2>> told;
        ASSERT_TRUE(synthesise(scenario.value(), out.value(), [&](int done, int total) { told.push_back({done, total}); }, threads));
        EXPECT_EQ(told, (std::vector<std::array<int, 2>>{{1, 4}, {2, 4}, {3, 4}, {4, 4}}));
        ASSERT_TRUE(out.value().commit());
    }
    static std::map<std::string, std::string> files(const fs::path& path) {
        std::map<std::string, std::string> all;
        for (const auto& e : fs::recursive_directory_iterator(path))
            if (e.is_regular_file()) {
                std::ostringstream text;
                text << std::ifstream(e.path(), std::ios::binary).rdbuf();
                all[fs::relative(e.path(), path).string()] = text.str();
            }
        return all;
    }
    static std::string tag(const fs::path& file, const DcmTagKey& key) {
        DcmFileFormat f;
        EXPECT_TRUE(f.loadFile(file.c_str()).good()) << file;
        OFString value;
        f.getDataset()->findAndGetOFStringArray(key, value);
        return value.c_str();
    }
    static nlohmann::json truth() { return nlohmann::json::parse(std::ifstream(root_ / "one/truth.json")); }
    static fs::path root_;
};
fs::path SynthesiseTest::root_;

TEST_F(SynthesiseTest, the_same_scenario_gives_the_same_bytes_for_any_number_of_threads) {
    const auto one = files(root_ / "one"), two = files(root_ / "two");
    EXPECT_GE(one.size(), 5u + 5u + 4u + 4u + 1u);
    EXPECT_EQ(one, two);
}

TEST_F(SynthesiseTest, every_series_satisfies_the_validator) {
    if (std::system("command -v dciodvfy >/dev/null 2>&1") != 0) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "dciodvfy must be installed where the test command installed it";
        GTEST_SKIP() << "dciodvfy is not installed";
    }
    for (const std::string series : {"20100131/01", "20100131/02", "20100131/03", "20150601/01"}) {
        std::string errors;
        FILE* pipe = ::popen(("dciodvfy -new " + (root_ / "one" / series / "I00001.dcm").string() + " 2>&1").c_str(), "r");
        ASSERT_TRUE(pipe);
        std::array<char, 1024> line{};
        int lines = 0;
        while (std::fgets(line.data(), line.size(), pipe)) {
            ++lines;
            if (std::string(line.data()).find("Error") != std::string::npos) errors += line.data();
        }
        ::pclose(pipe);
        EXPECT_GT(lines, 0);
        EXPECT_EQ(errors, "") << series;
    }
}

TEST_F(SynthesiseTest, every_object_says_that_it_is_simulated) {
    for (const auto& [name, bytes] : files(root_ / "one")) {
        if (name == "truth.json") continue;
        const fs::path file = root_ / "one" / name;
        EXPECT_EQ(tag(file, DCM_SeriesDescription).rfind("SIMULATED", 0), 0u) << name;
        EXPECT_EQ(tag(file, DCM_ImageType).rfind("DERIVED\\PRIMARY\\", 0), 0u) << name;
        EXPECT_NE(tag(file, DCM_DerivationDescription), "") << name;
        EXPECT_EQ(tag(file, DCM_PatientName), "Simulated^Patient") << name;
    }
}

TEST_F(SynthesiseTest, physics_tags_tell_the_acquisition) {
    const fs::path one = root_ / "one";
    EXPECT_EQ(tag(one / "20100131/01/I00001.dcm", DCM_KVP), "100");
    EXPECT_EQ(tag(one / "20100131/01/I00001.dcm", DCM_ConvolutionKernel), "BONE");
    EXPECT_EQ(tag(one / "20100131/02/I00001.dcm", DCM_ScanningSequence), "SE");
    EXPECT_EQ(tag(one / "20100131/02/I00001.dcm", DCM_RepetitionTime), "520");
    EXPECT_EQ(tag(one / "20100131/03/I00001.dcm", DCM_ScanOptions), "FS");
    EXPECT_EQ(tag(one / "20150601/01/I00001.dcm", DCM_ScanningSequence), "IR");
    EXPECT_EQ(tag(one / "20150601/01/I00001.dcm", DCM_InversionTime), "160");
}

TEST_F(SynthesiseTest, identifiers_are_unique_where_they_must_be_and_shared_where_they_may) {
    std::set<std::string> instances, studies, series, patients;
    std::size_t images = 0;
    for (const auto& [name, bytes] : files(root_ / "one")) {
        if (name == "truth.json") continue;
        ++images;
        instances.insert(tag(root_ / "one" / name, DCM_SOPInstanceUID));
        studies.insert(tag(root_ / "one" / name, DCM_StudyInstanceUID));
        series.insert(tag(root_ / "one" / name, DCM_SeriesInstanceUID));
        patients.insert(tag(root_ / "one" / name, DCM_PatientID));
    }
    EXPECT_EQ(instances.size(), images);
    EXPECT_EQ(studies.size(), 2u);
    EXPECT_EQ(series.size(), 4u);
    EXPECT_EQ(patients, std::set<std::string>{"SIM-TEST"});
}

TEST_F(SynthesiseTest, truth_names_series_eyes_and_elements) {
    const auto t = truth();
    ASSERT_EQ(t["timepoints"].size(), 2u);
    EXPECT_EQ(t["side"], "right");
    EXPECT_EQ(t["material"], "solid_silicone");
    const auto& first = t["timepoints"][0];
    EXPECT_EQ(first["study_date"], "2010-01-31");
    const std::array<const char*, 3> kinds{"ct", "t1", "t2_fatsat"};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto& s = first["series"][i];
        EXPECT_EQ(s["series_uid"], tag(root_ / "one/20100131" / ("0" + std::to_string(i + 1)) / "I00001.dcm", DCM_SeriesInstanceUID));
        EXPECT_EQ(s["kind"], kinds[i]);
        // The patient's right is at smaller x (PS3.3 C.7.6.2.1.1); eyes look forwards, against y.
        EXPECT_LT(s["centres"]["right"][0].get<double>() + 50.0, s["centres"]["left"][0].get<double>());
        EXPECT_LT(s["axes"]["right"][1].get<double>(), -0.9);
    }
    ASSERT_EQ(first["elements"].size(), 1u);
    EXPECT_EQ(first["elements"], first["eyes"]["right"]["elements"]);
    EXPECT_TRUE(first["eyes"]["left"]["elements"].empty());
    const auto& e = first["elements"][0];
    EXPECT_EQ(e["form"], "encircling");
    EXPECT_EQ(e["clock_hours"]["span_hours"], 12.0);
    EXPECT_EQ(e["limbus_mm"]["anterior"], 10.75);
    EXPECT_EQ(e["limbus_mm"]["posterior"], 13.25);
    EXPECT_EQ(e["indentation_mm"], 0.5);
    // A thin ring near the equator of a globe of 11.7 mm radius: about its circumference times its section.
    EXPECT_NEAR(e["volume_mm3"].get<double>(), 2.0 * std::acos(-1.0) * 11.6 * 2.5 * 0.75, 0.03 * 140.0);
}

// The globe's centre in truth.json is the centre of the vitreous's pixels in the CT.
TEST_F(SynthesiseTest, centres_agree_with_the_pixels) {
    const auto s = truth()["timepoints"][0]["series"][0];
    for (const std::string side : {"right", "left"}) {
        const double cx = s["centres"][side][0], cy = s["centres"][side][1], cz = s["centres"][side][2];
        bool found = false;
        for (const auto& entry : fs::directory_iterator(root_ / "one/20100131/01")) {
            DcmFileFormat f;
            ASSERT_TRUE(f.loadFile(entry.path().c_str()).good());
            Float64 x0 = 0, y0 = 0, z0 = 0, spacing = 0;
            f.getDataset()->findAndGetFloat64(DCM_ImagePositionPatient, x0, 0);
            f.getDataset()->findAndGetFloat64(DCM_ImagePositionPatient, y0, 1);
            f.getDataset()->findAndGetFloat64(DCM_ImagePositionPatient, z0, 2);
            f.getDataset()->findAndGetFloat64(DCM_PixelSpacing, spacing);
            if (std::abs(z0 - cz) > 2.5) continue;
            found = true;
            Uint16 columns = 0;
            f.getDataset()->findAndGetUint16(DCM_Columns, columns);
            const Uint16* pixels = nullptr;
            ASSERT_TRUE(f.getDataset()->findAndGetUint16Array(DCM_PixelData, pixels).good());
            // Fat lies behind the globe and beside it, never at 6 mm from its centre.
            for (const auto& [dx, dy] : {std::pair{0.0, 0.0}, {6.0, 0.0}, {-6.0, 0.0}, {0.0, 6.0}, {0.0, -4.0}}) {
                const auto column = std::lround((cx + dx - x0) / spacing), row = std::lround((cy + dy - y0) / spacing);
                EXPECT_NEAR(pixels[row * columns + column] - 1024, 8.0, 40.0) << side << " " << dx << " " << dy;
            }
        }
        EXPECT_TRUE(found);
    }
}

}  // namespace
}  // namespace perisclera::phantoms
