// SPDX-License-Identifier: Apache-2.0
// CT numbers as stored, read by DCMTK: 12 bits from -1024 to 3071 HU, or ten times that (common practice of scanners). Expected: the normal
// distribution's share below the scale's end.
#include <gtest/gtest.h>
#include <unistd.h>

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

#include "perisclera/dicom/output_folder.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"

namespace perisclera::phantoms {
namespace {

namespace fs = std::filesystem;

struct Stored {
    double slope, intercept;
    std::vector<unsigned short> pixels;  ///< of all slices
    int columns;
    [[nodiscard]] double highest() const { return slope * *std::max_element(pixels.begin(), pixels.end()) + intercept; }
};

Stored stored(const std::string& elements, const std::string& series_keys) {
    const fs::path folder = fs::temp_directory_path() / ("perisclera-ct-scale-" + std::to_string(::getpid()));
    fs::remove_all(folder);
    const auto scenario = parse_scenario(R"({"seed": 3, "texture": 0, "patient": {"id": "SIM-SCALE", "birth_year": 1950}, "eyes": {"right": {"elements": [)" + elements +
                                         R"(]}}, "timepoints": [{"study_date": "2018-05-02", "series": [{"kind": "ct", "spacing_mm": 0.5, "field_mm": [130, 80, 20],
        "slice_thickness_mm": 2, )" + series_keys + "}]}]}");
    EXPECT_TRUE(scenario) << (scenario ? "" : scenario.error().what);
    auto out = OutputFolder::open(folder, false);
    EXPECT_TRUE(out);
    EXPECT_TRUE(synthesise(scenario.value(), out.value(), {}, 2));
    EXPECT_TRUE(out.value().commit());
    Stored all{};
    for (const auto& entry : fs::directory_iterator(folder / "20180502/01")) {
        DcmFileFormat file;
        EXPECT_TRUE(file.loadFile(entry.path().c_str()).good());
        DcmDataset& d = *file.getDataset();
        Uint16 bits = 0, columns = 0;
        const Uint16* pixels = nullptr;
        unsigned long count = 0;
        EXPECT_TRUE(d.findAndGetFloat64(DCM_RescaleSlope, all.slope).good());
        EXPECT_TRUE(d.findAndGetFloat64(DCM_RescaleIntercept, all.intercept).good());
        EXPECT_TRUE(d.findAndGetUint16(DCM_BitsStored, bits).good());
        EXPECT_TRUE(d.findAndGetUint16(DCM_Columns, columns).good());
        EXPECT_TRUE(d.findAndGetUint16Array(DCM_PixelData, pixels, &count).good());
        EXPECT_EQ(bits, 12);
        all.columns = columns;
        all.pixels.insert(all.pixels.end(), pixels, pixels + count);
    }
    fs::remove_all(folder);
    return all;
}

TEST(CtScale, metal_ends_at_the_top_of_the_scale) {
    const std::string clip = R"({"material": "tantalum", "form": "segmental", "from_hour": 8, "to_hour": 10, "limbus_mm": 12, "width_mm": 3, "thickness_mm": 2})";
    const Stored usual = stored(clip, R"("noise": 0)"), extended = stored(clip, R"("noise": 0, "scale": "extended")");
    EXPECT_EQ(usual.slope, 1.0);
    EXPECT_EQ(usual.highest(), 3071.0);
    EXPECT_EQ(extended.slope, 10.0);
    EXPECT_EQ(extended.highest(), 30710.0);
}

// Air is -1000 HU: with a deviation of 300 HU a share of Phi(-23.5 / 300) = 0.469 rounds to the scale's lower end or lies below it.
TEST(CtScale, noise_in_air_is_cut_off_at_the_bottom) {
    const Stored noisy = stored("", R"("noise": 300)");
    std::size_t air = 0, lowest = 0;
    for (std::size_t i = 0; i < noisy.pixels.size(); ++i) {
        // The first rows lie in front of the face, at their ends far from the nose.
        if (static_cast<int>(i) % noisy.columns > 60 || i / static_cast<std::size_t>(noisy.columns) % 160 > 20) continue;
        ++air;
        lowest += noisy.pixels[i] == 0;
    }
    ASSERT_GT(air, 10000u);
    EXPECT_NEAR(static_cast<double>(lowest) / static_cast<double>(air), 0.5 * std::erfc(23.5 / 300.0 / std::sqrt(2.0)), 0.03);
}

}  // namespace
}  // namespace perisclera::phantoms
