// SPDX-License-Identifier: Apache-2.0
// Lenses in drawn eyes. A natural lens is 4 mm thick and 9 mm wide: an ellipsoid of 4/3 pi 2 x 4.5² = 170 mm3 (row 4.02 of the table of reference values: 183 mm3,
// deviation 15); an implant's optic 1 mm thick and 6 mm wide, its middle a millimetre further forward (common practice, no source). CT numbers: lens 79, acrylic
// glass 119 (row 2.20), fluid 8, oil 115 and 279 (row 2.02), gas -994 (row 2.09) HU; MR: lens and implant low on T2 (rows 2.25, 5.20).
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/anatomy/lens_status.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr PatientPoint centre{0.2, -60.1, 8.3};
constexpr double outer = 12.3, inner = 11.2;

struct Signals {
    double behind, chamber, natural, implant, wall, around;
};
constexpr Signals ct{8, 8, 79, 119, 50, -95}, ct_oil{115, 8, 79, 119, 50, -95}, ct_dense_oil{279, 8, 79, 119, 50, -95}, ct_gas{-994, 8, 79, 119, 50, -95};
constexpr Signals t2{1000, 1000, 100, 10, 120, 600}, t1{150, 150, 300, 5, 200, 800};

/// gaze: degrees up; the frame knows nothing of it.
VoxelGrid drawn(const Signals& s, LensStatus lens, double slice, double gaze) {
    const double up = gaze * std::numbers::pi / 180.0;
    const PatientVector ahead{0, -std::cos(up), std::sin(up)};
    return test::drawn_grid(centre, {60, 66, static_cast<int>(44.0 / slice)}, {0.6, 0.6, slice}, [&](PatientPoint p) {
        const PatientVector d = p - centre;
        const double forward = dot(d, ahead), aside = length(d - ahead * forward), r = length(d);
        if (lens == LensStatus::natural && std::pow((forward - 7.0) / 2.0, 2) + std::pow(aside / 4.5, 2) < 1.0) return s.natural;
        if (lens == LensStatus::implant && std::abs(forward - 8.0) < 0.5 && aside < 3.0) return s.implant;
        if (r >= inner) return r < outer ? s.wall : s.around;
        // Behind the lens' equator, or where the implant's capsule lies, the cavity; before it the chamber.
        return forward < (lens == LensStatus::natural ? 7.0 : 7.5) ? s.behind : s.chamber;
    });
}

LensStatus said(const Signals& s, Modality modality, SeriesRole role, LensStatus lens, double slice, double gaze = 0.0) {
    const LensProfile profile = read_lens_profile(drawn(s, lens, slice, gaze), test::ball_globe(Eye::right, centre, outer));
    return judge_lens(profile, modality, role, s.behind, s.around).kind;
}

constexpr LensStatus kinds[]{LensStatus::natural, LensStatus::implant, LensStatus::none};

}  // namespace

TEST(LensStatus, is_told_in_fluid_on_ct_and_t2) {
    for (const double slice : {1.0, 3.0})
        for (const double gaze : {0.0, 12.0})
            for (const LensStatus lens : kinds) {
                EXPECT_EQ(said(ct, Modality::ct, SeriesRole::ct_soft, lens, slice, gaze), lens) << "CT, slices " << slice << ", gaze " << gaze;
                EXPECT_EQ(said(t2, Modality::mr, SeriesRole::t2, lens, slice, gaze), lens) << "T2, slices " << slice << ", gaze " << gaze;
            }
}

TEST(LensStatus, natural_alone_is_told_on_t1) {
    EXPECT_EQ(said(t1, Modality::mr, SeriesRole::t1, LensStatus::natural, 3.0), LensStatus::natural);
    EXPECT_EQ(said(t1, Modality::mr, SeriesRole::t1, LensStatus::implant, 3.0), LensStatus::undetermined);
    EXPECT_EQ(said(t1, Modality::mr, SeriesRole::t1, LensStatus::none, 3.0), LensStatus::undetermined);
}

TEST(LensStatus, natural_alone_is_told_before_gas_and_dense_oil) {
    for (const Signals& s : {ct_gas, ct_dense_oil}) {
        EXPECT_EQ(said(s, Modality::ct, SeriesRole::ct_soft, LensStatus::natural, 1.0), LensStatus::natural) << s.behind;
        EXPECT_EQ(said(s, Modality::ct, SeriesRole::ct_soft, LensStatus::implant, 1.0), LensStatus::undetermined) << s.behind;
        EXPECT_EQ(said(s, Modality::ct, SeriesRole::ct_soft, LensStatus::none, 1.0), LensStatus::undetermined) << s.behind;
    }
}

TEST(LensStatus, is_not_told_before_oil_as_dense_as_a_lens) {
    for (const LensStatus lens : kinds) EXPECT_EQ(said(ct_oil, Modality::ct, SeriesRole::ct_soft, lens, 1.0), LensStatus::undetermined);
}

// Three millimetres along the axis blur an optic of one as they blur a lens that is partly cut.
TEST(LensStatus, implant_is_not_told_through_thick_coronal_slices) {
    const VoxelGrid axial = drawn(ct, LensStatus::implant, 1.0, 0.0);
    const auto coronal = VolumeGeometry::make(centre + PatientVector{-20, -24, 20}, {1, 0, 0}, {0, 0, -1}, {0, 3.0, 0}, {0.6, 0.6}, {67, 67, 16});
    std::vector<float> values;
    for (int y = 0; y < 16; ++y)
        for (int z = 0; z < 67; ++z)
            for (int x = 0; x < 67; ++x) {
                const PatientPoint p = coronal.value().to_patient({static_cast<double>(x), static_cast<double>(z), static_cast<double>(y)});
                float sum = 0.0F;
                for (double off = -1.35; off < 1.5; off += 0.3) sum += axial.sample(p + PatientVector{0, off, 0});
                values.push_back(sum / 10.0F);
            }
    const LensProfile profile = read_lens_profile(VoxelGrid(coronal.value(), std::move(values)), test::ball_globe(Eye::right, centre, outer));
    const LensStatus kind = judge_lens(profile, Modality::ct, SeriesRole::ct_soft, ct.behind, 0.0).kind;
    EXPECT_EQ(kind, LensStatus::undetermined);
}

// An anterior chamber 3 mm deep (textbook), against a ball of acrylic glass under a shell of it.
TEST(WateryChamber, lies_before_a_globe_filled_with_oil_and_not_before_a_ball_of_acrylic_glass) {
    const auto chamber = [](const VoxelGrid& grid) { return watery_chamber_mm(read_lens_profile(grid, test::ball_globe(Eye::right, centre, outer))); };
    EXPECT_GT(chamber(drawn(ct_oil, LensStatus::none, 1.0, 0.0)), 1.75);
    EXPECT_LT(chamber(test::drawn_grid(centre, {60, 66, 44}, {0.6, 0.6, 1.0}, [](PatientPoint p) {
                  const double r = length(p - centre);
                  const bool shell = r > outer + 1.0 && r < outer + 3.0 && p.y < centre.y - 8.0;
                  return r < outer - 0.5 || shell ? 119.0 : r < outer + 1.0 ? 50.0 : -95.0;
              })),
              1.75);
}

TEST(LensStatus, of_series_that_disagree_is_undetermined) {
    EXPECT_EQ(joined({{LensStatus::undetermined, "noise"}, {LensStatus::implant, "thin"}}).kind, LensStatus::implant);
    EXPECT_EQ(joined({{LensStatus::natural, "thick"}, {LensStatus::implant, "thin"}}).kind, LensStatus::undetermined);
    EXPECT_EQ(joined({{LensStatus::natural, "thick"}, {LensStatus::implant, "thin"}, {LensStatus::natural, "thick"}}).kind, LensStatus::undetermined);
    EXPECT_EQ(joined({}).kind, LensStatus::undetermined);
}

}  // namespace perisclera
