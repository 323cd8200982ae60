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

/// Muscle: 1200 and 32 ms, from memory of textbooks. A quarter of fat is mixed in, as thin muscles are seen between slices.
EyeBrightness healthy(double repetition, double echo) {
    const double fat = spin_echo(repetition, echo, 95.0, 51.0);
    return {spin_echo(repetition, echo, 3600.0, 140.0), fat, 0.75 * 0.8 * spin_echo(repetition, echo, 1200.0, 32.0) + 0.25 * fat};
}

TEST(RoleInImage, fits_what_relaxation_times_predict) {
    const EyeBrightness t1 = healthy(550, 12), t2 = healthy(4000, 95);
    EXPECT_FALSE(contradiction(SeriesRole::t1, {t1, t1}));
    EXPECT_FALSE(contradiction(SeriesRole::t2, {t2, t2}));
    EXPECT_TRUE(contradiction(SeriesRole::t1, {t2, t2}));
    EXPECT_TRUE(contradiction(SeriesRole::t2, {t1, t1}));
    EXPECT_TRUE(contradiction(SeriesRole::stir, {t1, t1}));
}

TEST(RoleInImage, one_unusual_eye_contradicts_nothing) {
    const EyeBrightness t1 = healthy(550, 12), t2 = healthy(4000, 95), not_imaged{1.0, 0.0, 0.0};
    EXPECT_FALSE(contradiction(SeriesRole::t1, {t1, t2}));
    EXPECT_FALSE(contradiction(SeriesRole::t1, {t2, not_imaged}));
    EXPECT_FALSE(contradiction(SeriesRole::flair, {t2, t2}));
}

TEST(RoleInImage, is_told_where_nothing_else_looks_alike) {
    for (const double echo : {8.0, 12.0, 20.0})
        for (const double repetition : {400.0, 550.0, 700.0}) {
            const EyeBrightness t1 = healthy(repetition, echo);
            EXPECT_EQ(role_by_image({t1, t1}), SeriesRole::t1) << repetition << ' ' << echo;
        }
    for (const double echo : {80.0, 90.0, 100.0}) {
        const EyeBrightness t2 = healthy(4000, echo);
        EXPECT_EQ(role_by_image({t2, t2}), SeriesRole::t2) << echo;
        EXPECT_FALSE(role_by_image({t2, healthy(550, 12)})) << "two eyes that disagree";
        // Fat suppressed to a twentieth, as by a spectral pulse, so that muscle is brightest; fluid suppressed.
        const double muscle = 0.8 * spin_echo(4000, echo, 1200.0, 32.0);
        const EyeBrightness suppressed{t2.vitreous, std::max(0.05 * t2.orbit, muscle), 0.05 * t2.orbit}, flair{0.02 * t2.orbit, t2.orbit, t2.muscle};
        EXPECT_FALSE(role_by_image({suppressed, suppressed})) << echo;
        EXPECT_FALSE(role_by_image({flair, flair})) << echo;
    }
    // STIR, TR 4500, TI 160, TE 50: fat is nulled. Magnitude of 1 - 2 exp(-TI/T1) + exp(-TR/T1).
    const auto inverted = [](double t1, double t2) { return std::abs(1.0 - 2.0 * std::exp(-160.0 / t1) + std::exp(-4500.0 / t1)) * std::exp(-50.0 / t2); };
    const EyeBrightness stir{inverted(3600.0, 140.0), 0.8 * inverted(1200.0, 32.0), 0.02};
    EXPECT_FALSE(role_by_image({stir, stir}));
    const EyeBrightness density = healthy(3000, 15), nothing{1.0, 0.0, 0.0};
    EXPECT_FALSE(role_by_image({density, density}));
    EXPECT_FALSE(role_by_image({nothing, nothing}));
}

class RoleOfRealSeries : public ::testing::TestWithParam<const char*> {};

TEST_P(RoleOfRealSeries, is_confirmed_and_the_opposite_contradicted) {
    const auto folder = test::shared_data() / GetParam();
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    const auto patient = read_patient({folder}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    int checked = 0, told = 0;
    for (const ImageSeries& series : patient.value().visits.front().series) {
        const SeriesRole role = series.description.role;
        if (role != SeriesRole::t1 && role != SeriesRole::t2) continue;
        const SeriesViews views = view_series(series, 0);
        ASSERT_TRUE(views.eye[0] && views.eye[1]) << name(role);
        std::array<EyeBrightness, 2> eyes{};
        for (std::size_t i = 0; i < 2; ++i) eyes[i] = brightness(views.eye[i]->block);
        EXPECT_FALSE(contradiction(role, eyes)) << name(role) << ": " << eyes[0].vitreous / eyes[0].orbit << ", " << eyes[1].vitreous / eyes[1].orbit;
        EXPECT_TRUE(contradiction(role == SeriesRole::t1 ? SeriesRole::t2 : SeriesRole::t1, eyes))
            << name(role) << ": " << eyes[0].vitreous / eyes[0].orbit << ", " << eyes[1].vitreous / eyes[1].orbit;
        const auto by_image = role_by_image(eyes);
        EXPECT_EQ(by_image.value_or(role), role);
        told += by_image.has_value();
        ++checked;
    }
    EXPECT_GT(checked, 0);
    EXPECT_EQ(told, checked) << "these are plain T1 and T2 series";
}

INSTANTIATE_TEST_SUITE_P(heads_and_cases, RoleOfRealSeries, ::testing::Values("heads/adult_mr", "heads/adult_t1_1mm", "cases/c04_no_explant"));

}  // namespace
}  // namespace perisclera
