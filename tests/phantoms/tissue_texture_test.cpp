// SPDX-License-Identifier: Apache-2.0
// Septa of orbital fat. Expected: the CT number of fat in a real head, and that nothing but fat has septa.
#include "phantoms/tissue_texture.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace perisclera::phantoms {
namespace {

struct Usual {
    Scenario scenario = parse_scenario(R"({"seed": 4, "patient": {"id": "T", "birth_year": 1950}, "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct"}]}]})").value();
    const Timepoint& visit = scenario.timepoints.at(0);
    const Series& series = visit.series.at(0);
    HeadModel head{visit.eyes, series.gaze_deg};
    HeadPose pose{series};
    Appearance shown = appearance(series, visit.eyes);
    [[nodiscard]] Scan scan(double texture) const { return {series, head, pose, shown, texture, 1, 2}; }
};

template <class Look>
std::vector<double> over_an_orbit(Look look) {
    std::vector<double> values;
    for (double x = 20.0; x < 40.0; x += 0.7)
        for (double y = 5.0; y < 25.0; y += 0.7)
            for (double z = -10.0; z < 10.0; z += 0.7) values.push_back(look(HeadPoint{x, y, z}));
    std::sort(values.begin(), values.end());
    return values;
}
double mean(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double v : values) sum += v;
    return sum / static_cast<double>(values.size());
}

// Real orbital fat of one head on CT with 4 mm slices (shared data, coarse_ct) averages -88 to -71 HU in regions within it, pure fat is -120 to -90 (row 4.24).
TEST(TissueTexture, septa_raise_the_mean_of_fat_and_leave_its_lobules) {
    const Usual usual;
    const Scan scan = usual.scan(1.0);
    const auto fat = over_an_orbit([&](HeadPoint p) { return TissueTexture(scan).move_to(p).shown(label(Tissue::fat), usual.shown); });
    EXPECT_GT(mean(fat), -100.0);
    EXPECT_LT(mean(fat), -71.0);
    EXPECT_NEAR(fat[fat.size() / 4], static_cast<double>(usual.shown.value[label(Tissue::fat)]), 10.0);
    EXPECT_LT(fat.back(), static_cast<double>(usual.shown.value[label(Tissue::dura)]));
}

TEST(TissueTexture, only_fat_has_septa_and_without_texture_nothing_is_uneven) {
    const Usual usual;
    const Scan even = usual.scan(0.0), uneven = usual.scan(1.0);
    for (const Tissue tissue : {Tissue::fat, Tissue::muscle, Tissue::vitreous}) {
        const auto pure = static_cast<double>(usual.shown.value[label(tissue)]);
        const auto values = over_an_orbit([&](HeadPoint p) { return TissueTexture(even).move_to(p).shown(label(tissue), usual.shown); });
        EXPECT_EQ(values.front(), pure);
        EXPECT_EQ(values.back(), pure);
    }
    const auto muscle = over_an_orbit([&](HeadPoint p) { return TissueTexture(uneven).move_to(p).shown(label(Tissue::muscle), usual.shown); });
    EXPECT_NEAR(mean(muscle), static_cast<double>(usual.shown.value[label(Tissue::muscle)]), 1.0);
}

TEST(TissueTexture, unevenness_is_the_same_wherever_one_has_looked_before) {
    Unevenness seen(5);
    for (const double step : {0.3, 2.5, 7.0, -0.9})
        for (int i = 0; i < 500; ++i) {
            const HeadPoint p{-40.0 + step * i, 12.0 - 0.7 * step * (i % 9), 3.0 + 0.4 * step * (i / 7)};
            ASSERT_EQ(seen.at(p), Unevenness(5).at(p));
        }
}

}  // namespace
}  // namespace perisclera::phantoms
