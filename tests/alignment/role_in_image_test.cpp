// SPDX-License-Identifier: Apache-2.0
// Signals of fat and vitreous by the spin-echo equation (1 - exp(-TR/T1)) exp(-TE/T2), with relaxation times as published for the eye
// (doi 10.1002/mrm.27594: vitreous 3600 and 140 ms, orbital fat 95 and 51 ms), and the heads and cases beside the source tree, whose
// provenance says which series is T1 and which T2. Skipped where these are absent.
#include "perisclera/alignment/role_in_image.h"

#include <cmath>
#include <filesystem>

#include <gtest/gtest.h>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/assemble/load_patient.h"
#include "tests/support/test_data.h"

namespace perisclera {
namespace {

double spin_echo(double repetition, double echo, double t1, double t2) { return (1.0 - std::exp(-repetition / t1)) * std::exp(-echo / t2); }

EyeBrightness healthy(double repetition, double echo) { return {spin_echo(repetition, echo, 3600.0, 140.0), spin_echo(repetition, echo, 95.0, 51.0)}; }

TEST(RoleInImage, fits_what_relaxation_times_predict) {
    const EyeBrightness t1 = healthy(550, 12), t2 = healthy(4000, 95);
    EXPECT_FALSE(contradiction(SeriesRole::t1, {t1, t1}));
    EXPECT_FALSE(contradiction(SeriesRole::t2, {t2, t2}));
    EXPECT_TRUE(contradiction(SeriesRole::t1, {t2, t2}));
    EXPECT_TRUE(contradiction(SeriesRole::t2, {t1, t1}));
    EXPECT_TRUE(contradiction(SeriesRole::stir, {t1, t1}));
}

TEST(RoleInImage, one_unusual_eye_contradicts_nothing) {
    const EyeBrightness t1 = healthy(550, 12), t2 = healthy(4000, 95), not_imaged{1.0, 0.0};
    EXPECT_FALSE(contradiction(SeriesRole::t1, {t1, t2}));
    EXPECT_FALSE(contradiction(SeriesRole::t1, {t2, not_imaged}));
    EXPECT_FALSE(contradiction(SeriesRole::flair, {t2, t2}));
}

class RoleOfRealSeries : public ::testing::TestWithParam<const char*> {};

TEST_P(RoleOfRealSeries, is_confirmed_and_the_opposite_contradicted) {
    const auto folder = test::shared_data() / GetParam();
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    const auto patient = read_patient({folder}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    int checked = 0;
    for (const ImageSeries& series : patient.value().visits.front().series) {
        const SeriesRole role = series.description.role;
        if (role != SeriesRole::t1 && role != SeriesRole::t2) continue;
        const SeriesViews views = view_series(series, 0);
        ASSERT_TRUE(views.eye[0] && views.eye[1]) << name(role);
        std::array<EyeBrightness, 2> eyes{};
        for (std::size_t i = 0; i < 2; ++i) eyes[i] = {views.eye[i]->block.globe().interior_mean, views.eye[i]->block.orbit_signal(0.9)};
        EXPECT_FALSE(contradiction(role, eyes)) << name(role) << ": " << eyes[0].vitreous / eyes[0].orbit << ", " << eyes[1].vitreous / eyes[1].orbit;
        EXPECT_TRUE(contradiction(role == SeriesRole::t1 ? SeriesRole::t2 : SeriesRole::t1, eyes))
            << name(role) << ": " << eyes[0].vitreous / eyes[0].orbit << ", " << eyes[1].vitreous / eyes[1].orbit;
        ++checked;
    }
    EXPECT_GT(checked, 0);
}

INSTANTIATE_TEST_SUITE_P(heads_and_cases, RoleOfRealSeries, ::testing::Values("heads/adult_mr", "heads/adult_t1_1mm", "cases/c04_no_explant"));

}  // namespace
}  // namespace perisclera
