// SPDX-License-Identifier: Apache-2.0
// Outside checks: dciodvfy (an independent DICOM object validator) and DCMTK's own reading of the values put in.
#include "perisclera/dicom/image_object.h"

#include <cstdlib>

#include <gtest/gtest.h>
#include <unistd.h>

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>

#include "perisclera/dicom/part10.h"

namespace perisclera {
namespace {

namespace fs = std::filesystem;

VoxelGrid ramp() {
    const double c = std::cos(0.3), s = std::sin(0.3);
    auto geometry = VolumeGeometry::make({-12.5, 3.25, 40.0}, {c, s, 0.0}, {-s, c, 0.0}, {0.0, 0.0, 1.5}, {0.45, 0.5}, {4, 3, 2});
    std::vector<float> values(24);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = 100.0f * static_cast<float>(i) - 1100.0f;
    values[23] = 5000.0f;
    return VoxelGrid(std::move(geometry).value(), std::move(values));
}

ImageSeriesHeader header() {
    ImageSeriesHeader h;
    h.patient_name = "Simulated^Patient";
    h.patient_id = "SIM1";
    h.patient_sex = "F";
    h.patient_birth_date = "19500101";
    h.study_uid = "2.25.1";
    h.series_uid = "2.25.2";
    h.frame_of_reference_uid = "2.25.3";
    h.study_date = "20200102";
    h.study_time = h.series_time = "101500";
    h.study_id = "1";
    h.series_description = "SIMULATED ramp";
    h.manufacturer = "none";
    h.derivation_description = "synthesised";
    return h;
}

const CtAcquisition ct{120.0, "SOFT", 1.5};
const MrAcquisition mr{"SE", "SK", "", 500.0, 12.0, std::nullopt, 90.0, 1.5, 1, false, 3.0};

/// What dciodvfy says of these bytes, lines with "Error" only.
std::string validator_errors(const std::string& bytes) {
    const fs::path file = fs::temp_directory_path() / ("perisclera-object-" + std::to_string(::getpid()));
    std::ofstream(file, std::ios::binary) << bytes;
    std::string errors;
    if (FILE* pipe = ::popen(("dciodvfy -new " + file.string() + " 2>&1").c_str(), "r")) {
        std::array<char, 1024> line{};
        while (std::fgets(line.data(), line.size(), pipe))
            if (std::string(line.data()).find("Error") != std::string::npos) errors += line.data();
        ::pclose(pipe);
    }
    fs::remove(file);
    return errors;
}

bool validator_present() { return std::system("command -v dciodvfy >/dev/null 2>&1") == 0; }

void read(const std::string& bytes, DcmFileFormat& file) {
    const fs::path path = fs::temp_directory_path() / ("perisclera-read-" + std::to_string(::getpid()));
    std::ofstream(path, std::ios::binary) << bytes;
    ASSERT_TRUE(file.loadFile(path.c_str()).good());
    ASSERT_TRUE(file.loadAllDataIntoMemory().good());
    fs::remove(path);
}

TEST(ImageObject, ct_and_mr_satisfy_the_validator) {
    if (!validator_present()) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "dciodvfy must be installed where the test command installed it";
        GTEST_SKIP() << "dciodvfy is not installed";
    }
    const auto ct_bytes = ct_image_bytes(header(), ct, CtVolume(ramp()), 0);
    ASSERT_TRUE(ct_bytes);
    EXPECT_EQ(validator_errors(ct_bytes.value()), "");
    const auto mr_bytes = mr_image_bytes(header(), mr, MrVolume(ramp()), 1);
    ASSERT_TRUE(mr_bytes);
    EXPECT_EQ(validator_errors(mr_bytes.value()), "");
}

TEST(ImageObject, the_validator_would_have_complained) {
    if (!validator_present()) {
        ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "dciodvfy must be installed where the test command installed it";
        GTEST_SKIP() << "dciodvfy is not installed";
    }
    auto h = header();
    h.study_uid.clear();
    EXPECT_NE(validator_errors(ct_image_bytes(h, ct, CtVolume(ramp()), 0).value()), "");
}

TEST(ImageObject, geometry_and_hounsfield_units_come_back) {
    const auto bytes = ct_image_bytes(header(), ct, CtVolume(ramp()), 1);
    ASSERT_TRUE(bytes);
    DcmFileFormat file;
    read(bytes.value(), file);
    DcmDataset& d = *file.getDataset();
    const std::array<double, 3> position{-12.5, 3.25, 41.5};
    const std::array<double, 6> orientation{std::cos(0.3), std::sin(0.3), 0.0, -std::sin(0.3), std::cos(0.3), 0.0};
    const std::array<double, 2> spacing{0.5, 0.45};  // row spacing first, PS3.3 10.7.1.3
    Float64 v = 0;
    for (unsigned long i = 0; i < 3; ++i) {
        ASSERT_TRUE(d.findAndGetFloat64(DCM_ImagePositionPatient, v, i).good());
        EXPECT_NEAR(v, position[i], 1e-9);
    }
    for (unsigned long i = 0; i < 6; ++i) {
        ASSERT_TRUE(d.findAndGetFloat64(DCM_ImageOrientationPatient, v, i).good());
        EXPECT_NEAR(v, orientation[i], 1e-9);
    }
    for (unsigned long i = 0; i < 2; ++i) {
        ASSERT_TRUE(d.findAndGetFloat64(DCM_PixelSpacing, v, i).good());
        EXPECT_NEAR(v, spacing[i], 1e-9);
    }
    Float64 slope = 0, intercept = 0;
    ASSERT_TRUE(d.findAndGetFloat64(DCM_RescaleSlope, slope).good());
    ASSERT_TRUE(d.findAndGetFloat64(DCM_RescaleIntercept, intercept).good());
    const Uint16* pixels = nullptr;
    unsigned long count = 0;
    ASSERT_TRUE(d.findAndGetUint16Array(DCM_PixelData, pixels, &count).good());
    ASSERT_EQ(count, 12u);
    for (unsigned long i = 0; i < 11; ++i)
        EXPECT_NEAR(slope * pixels[i] + intercept, static_cast<double>(ramp().values()[12 + i]), 0.5);
    EXPECT_EQ(slope * pixels[11] + intercept, 3071.0);  // 5000 clips
}

TEST(ImageObject, a_tilted_gantry_is_stated_and_a_straight_one_is_not) {
    for (const double tilt : {0.0, -16.5}) {
        CtAcquisition tilted = ct;
        tilted.gantry_tilt_deg = tilt;
        const auto bytes = ct_image_bytes(header(), tilted, CtVolume(ramp()), 0);
        ASSERT_TRUE(bytes);
        DcmFileFormat file;
        read(bytes.value(), file);
        Float64 stated = 0.0;
        EXPECT_EQ(file.getDataset()->findAndGetFloat64(DCM_GantryDetectorTilt, stated).good(), tilt != 0.0);
        EXPECT_EQ(stated, tilt);
    }
}

TEST(ImageObject, equal_input_gives_equal_bytes_and_every_slice_its_own_uid) {
    const auto first = ct_image_bytes(header(), ct, CtVolume(ramp()), 0);
    EXPECT_EQ(first.value(), ct_image_bytes(header(), ct, CtVolume(ramp()), 0).value());
    DcmFileFormat a, b;
    read(first.value(), a);
    read(ct_image_bytes(header(), ct, CtVolume(ramp()), 1).value(), b);
    OFString uid_a, uid_b;
    a.getDataset()->findAndGetOFString(DCM_SOPInstanceUID, uid_a);
    b.getDataset()->findAndGetOFString(DCM_SOPInstanceUID, uid_b);
    EXPECT_NE(uid_a, uid_b);
}

// PS3.5 6.2: a decimal string has at most 16 characters.
TEST(ImageObject, decimal_strings_fit_and_keep_nine_digits) {
    for (const double value : {0.0, -0.0, 1.5, -123.456789012345, 1e-7, -1.23456789e-12, 3.14159265358979, 1e300}) {
        const std::string text = decimal_string(value);
        EXPECT_LE(text.size(), 16u) << text;
        EXPECT_NEAR(std::stod(text), value, std::abs(value) * 1e-8);
    }
    EXPECT_EQ(decimal_string(-0.0), "0");
}

}  // namespace
}  // namespace perisclera
