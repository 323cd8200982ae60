// SPDX-License-Identifier: Apache-2.0
// CT with a tilted gantry, as files. Expected: planes, positions and stated angle from the closed form of a table that moves along z through
// planes turned about x; the sign from PS3.3, CT Acquisition Details (negative: the gantry's top leans away from where the table enters; the
// head lies first and supine); the place and size of a dark body from the straight series, both by DCMTK's values and the equation of
// PS3.3 C.7.6.2.1.1 alone; dciodvfy for the objects.
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
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "perisclera/dicom/output_folder.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"

namespace perisclera::phantoms {
namespace {

namespace fs = std::filesystem;
using Triple = std::array<double, 3>;

constexpr double plane_distance_mm = 1.25, pixel_mm = 0.5;
constexpr double decimals = 1e-6;  // a decimal string of 16 characters tells a position in millimetres at least this well

std::string scenario_text(double tilt_deg) {
    return R"({"seed": 8, "texture": 0, "patient": {"id": "SIM-TILT", "birth_year": 1950}, "eyes": {"right": {"elements": [
        {"material": "silicone_sponge", "form": "segmental", "from_hour": 10, "to_hour": 11, "limbus_mm": 13, "width_mm": 5, "thickness_mm": 4}]}},
        "timepoints": [{"study_date": "2018-05-02", "series": [{"kind": "ct", "noise": 0, "spacing_mm": 0.5, "slice_thickness_mm": 1.25,
        "field_mm": [100, 50, 36], "gantry_tilt_deg": )" + std::to_string(tilt_deg) + "}]}]}";
}

struct Slice {
    Triple position, row, column;
    std::string stated_tilt;
    unsigned short rows, columns;
    std::vector<double> hounsfield;
};

Slice read_slice(const fs::path& path) {
    DcmFileFormat file;
    EXPECT_TRUE(file.loadFile(path.c_str()).good()) << path;
    DcmDataset& d = *file.getDataset();
    const auto number = [&](const DcmTagKey& key, unsigned long at = 0) {
        Float64 value = 0.0;
        EXPECT_TRUE(d.findAndGetFloat64(key, value, at).good()) << path;
        return value;
    };
    Slice s{};
    for (unsigned long i = 0; i < 3; ++i) {
        s.position[i] = number(DCM_ImagePositionPatient, i);
        s.row[i] = number(DCM_ImageOrientationPatient, i);
        s.column[i] = number(DCM_ImageOrientationPatient, i + 3);
    }
    OFString tilt;
    d.findAndGetOFString(DCM_GantryDetectorTilt, tilt);
    s.stated_tilt = tilt.c_str();
    EXPECT_EQ(number(DCM_PixelSpacing, 0), pixel_mm);
    EXPECT_EQ(number(DCM_PixelSpacing, 1), pixel_mm);
    d.findAndGetUint16(DCM_Rows, s.rows);
    d.findAndGetUint16(DCM_Columns, s.columns);
    const Uint16* stored = nullptr;
    unsigned long count = 0;
    EXPECT_TRUE(d.findAndGetUint16Array(DCM_PixelData, stored, &count).good());
    const double slope = number(DCM_RescaleSlope), intercept = number(DCM_RescaleIntercept);
    for (unsigned long i = 0; i < count; ++i) s.hounsfield.push_back(stored[i] * slope + intercept);
    return s;
}

struct Series {
    std::vector<Slice> slices;  ///< in the order of their names
    Triple right_centre;
    std::string validator_errors;
};

Series series_with(double tilt_deg) {
    const fs::path root = fs::temp_directory_path() / ("perisclera-tilted-files-" + std::to_string(::getpid()));
    const auto scenario = parse_scenario(scenario_text(tilt_deg));
    EXPECT_TRUE(scenario) << scenario.error().what;
    auto out = OutputFolder::open(root, true);
    EXPECT_TRUE(out && synthesise(scenario.value(), out.value(), {}, 2) && out.value().commit());
    Series series;
    std::map<std::string, fs::path> files;
    for (const auto& e : fs::recursive_directory_iterator(root))
        if (e.path().extension() == ".dcm") files[e.path().filename().string()] = e.path();
    for (const auto& [name, path] : files) series.slices.push_back(read_slice(path));
    series.right_centre = nlohmann::json::parse(std::ifstream(root / "truth.json"))["timepoints"][0]["series"][0]["centres"]["right"].get<Triple>();
    if (FILE* pipe = ::popen(("dciodvfy -new " + files.begin()->second.string() + " 2>&1").c_str(), "r")) {
        std::array<char, 1024> line{};
        while (std::fgets(line.data(), line.size(), pipe))
            if (std::string(line.data()).find("Error") != std::string::npos) series.validator_errors += line.data();
        ::pclose(pipe);
    }
    fs::remove_all(root);
    return series;
}

struct DarkBody {
    Triple middle;
    double volume_mm3;
};

/// The body darker than half way from soft tissue to the sponge, near where the sponge must lie: across the eye's axis, towards 10:30.
DarkBody sponge_in(const Series& series) {
    const double aside = 13.5 * std::sqrt(0.5);
    const Triple near{series.right_centre[0] - aside, series.right_centre[1], series.right_centre[2] + aside};
    DarkBody body{};
    double count = 0.0;
    for (const Slice& s : series.slices)
        for (unsigned j = 0; j < s.rows; ++j)
            for (unsigned i = 0; i < s.columns; ++i) {
                if (s.hounsfield[j * s.columns + i] > -275.0) continue;
                Triple at{};
                double off = 0.0;
                for (unsigned a = 0; a < 3; ++a) {
                    at[a] = s.position[a] + s.row[a] * pixel_mm * i + s.column[a] * pixel_mm * j;
                    off += (at[a] - near[a]) * (at[a] - near[a]);
                }
                if (off > 7.0 * 7.0) continue;
                for (unsigned a = 0; a < 3; ++a) body.middle[a] += at[a];
                count += 1.0;
            }
    for (double& a : body.middle) a /= count;
    body.volume_mm3 = count * pixel_mm * pixel_mm * plane_distance_mm;
    return body;
}

TEST(TiltedGantryFiles, follow_the_closed_form_and_show_the_body_where_the_straight_series_shows_it) {
    const Series straight = series_with(0.0);
    EXPECT_EQ(straight.slices.front().stated_tilt, "") << "a straight gantry is not stated";
    const DarkBody expected = sponge_in(straight);
    EXPECT_GT(expected.volume_mm3, 50.0);
    for (const double tilt : {18.5, -16.5}) {
        const Series tilted = series_with(tilt);
        const double angle = tilt * 3.14159265358979 / 180.0;
        ASSERT_GT(tilted.slices.size(), 20U);
        for (std::size_t k = 0; k < tilted.slices.size(); ++k) {
            const Slice& s = tilted.slices[k];
            EXPECT_EQ(std::stod(s.stated_tilt), tilt);
            const Triple row{1, 0, 0}, column{0, std::cos(angle), std::sin(angle)};
            const Triple& first = tilted.slices.front().position;
            const Triple position{first[0], first[1], first[2] + static_cast<double>(k) * plane_distance_mm / std::cos(angle)};
            for (std::size_t a = 0; a < 3; ++a) {
                EXPECT_NEAR(s.row[a], row[a], decimals);
                EXPECT_NEAR(s.column[a], column[a], decimals);
                EXPECT_NEAR(s.position[a], position[a], decimals * static_cast<double>(k + 1));
            }
        }
        // A count of whole voxels: half a slice at the ends of a body of 5 mm.
        const DarkBody found = sponge_in(tilted);
        RecordProperty("volume_ratio_at_" + std::to_string(tilt), std::to_string(found.volume_mm3 / expected.volume_mm3));
        EXPECT_NEAR(found.volume_mm3, expected.volume_mm3, 0.05 * expected.volume_mm3) << tilt;
        for (std::size_t a = 0; a < 3; ++a) EXPECT_NEAR(found.middle[a], expected.middle[a], 0.15) << tilt << ", axis " << a;
        if (std::system("command -v dciodvfy >/dev/null 2>&1") == 0)
            EXPECT_EQ(tilted.validator_errors, "");
        else
            ASSERT_EQ(std::getenv("PERISCLERA_REQUIRE_TEST_DATA"), nullptr) << "dciodvfy must be installed where the test command installed it";
    }
}

}  // namespace
}  // namespace perisclera::phantoms
