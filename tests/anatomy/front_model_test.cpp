// SPDX-License-Identifier: Apache-2.0
// The axis of eyes drawn from closed forms that look aside: cornea, chamber, lens or none, in a ball of fluid with a wall, a lid and air before it. Signals are of the
// order of usual scans (common practice, no source).
#include <cmath>
#include <numbers>
#include <string>

#include <gtest/gtest.h>

#include "src/anatomy/cornea_place.h"
#include "src/anatomy/front_model.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double outer_radius = 12.1, degrees = std::numbers::pi / 180.0;
constexpr PatientPoint centre{31.35, -60.2, 7.45};   // off the voxels' raster
constexpr PatientVector ahead{0, -1, 0};

struct Contrast {
    const char* name;
    Modality modality;
    double fluid, lens, wall, lid, fat, air;
};

/// Looks `side` to the patient's left and `up`.
PatientVector gaze(double side_deg, double up_deg) { return unit(PatientVector{std::tan(side_deg * degrees), -1.0, std::tan(up_deg * degrees)}); }

double signal(const Contrast& c, PatientPoint p, PatientVector axis, bool lens) {
    const PatientVector d = p - centre;
    const double along = dot(d, axis), across = length(d - axis * along);
    // 9.2 mm across and 4 mm thick, 3 mm behind the cornea (textbook).
    constexpr double lens_middle_mm = 7.6, half_mm = 2.0, lens_radius_mm = 4.6;
    if (lens && std::pow((along - lens_middle_mm) / half_mm, 2) + std::pow(across / lens_radius_mm, 2) < 1.0) return c.lens;
    const test::EyeLayer layer = test::eye_layer({across, -along, 0.0}, outer_radius);
    if (layer != test::EyeLayer::outside) return layer == test::EyeLayer::fluid ? c.fluid : c.wall;
    if (d.y < -8.0) return length(d) < 16.0 ? c.lid : c.air;
    return c.fat;
}

VoxelGrid image(const Contrast& c, double slice_mm, PatientVector axis, bool lens, int slices) {
    return test::drawn_grid({centre.x, centre.y - 2.0, centre.z}, {56, 56, slices}, {0.7, 0.7, slice_mm}, [&](PatientPoint p) { return signal(c, p, axis, lens); });
}

GlobeFit fit_of(const Contrast& c) { return {centre, SmoothRadius({outer_radius}, ahead), c.fluid, 0.01 * std::abs(c.fat - c.fluid), std::abs(c.fat - c.fluid), 0.2, 0.2, 0.3}; }

double off_degrees(PatientVector a, PatientVector b) { return std::acos(std::min(1.0, dot(a, b))) / degrees; }

class Fronts : public ::testing::TestWithParam<Contrast> {};

}  // namespace

TEST_P(Fronts, tell_where_the_eye_looks) {
    const Contrast c = GetParam();
    // The target set for this program; an eye asked to look ahead in a turned head may look farther aside than 20 degrees.
    constexpr double target_deg = 3.0;
    for (const double slice_mm : {1.0, 3.0})
        for (const bool lens : {true, false})
            for (const auto& [side, up] : {std::pair{0.0, 0.0}, {12.0, -6.0}, {-16.0, 18.0}}) {
                const PatientVector truth = gaze(side, up);
                const VoxelGrid grid = image(c, slice_mm, truth, lens, static_cast<int>(36.0 / slice_mm));
                const auto model = fit_front(grid, c.modality, fit_of(c), ahead, ahead, CorneaPlace::inner_face_from_centre_mm(outer_radius), FrontSearch::wide);
                ASSERT_TRUE(model) << slice_mm << ' ' << lens << ' ' << side;
                const double off = off_degrees(model->axis, truth);
                if (lens) {
                    EXPECT_LE(off, target_deg) << slice_mm << " mm, " << side << ' ' << up;
                }
                // Without a lens, and none of these eyes has an iris, the cornea's bulge is all there is.
                EXPECT_LE(off, 2.45 * std::hypot(1.0, 2.0 * model->axis_uncertainty_deg)) << slice_mm << " mm, lens " << lens << ", " << side << ' ' << up << ": " << model->axis_uncertainty_deg;
            }
}

INSTANTIATE_TEST_SUITE_P(contrasts, Fronts,
                         ::testing::Values(Contrast{"ct", Modality::ct, 8, 90, 50, 45, -95, -1000}, Contrast{"t1", Modality::mr, 220, 450, 200, 600, 1350, 10}, Contrast{"t2", Modality::mr, 930, 250, 150, 350, 500, 10}),
                         [](const auto& about) { return std::string(about.param.name); });

TEST(FrontModel, says_nothing_where_the_front_is_cut_off) {
    const Contrast t2{"t2", Modality::mr, 930, 250, 150, 350, 500, 10};
    // 6 mm of slices about the centre: less than two thirds of the front.
    const VoxelGrid grid = image(t2, 1.0, ahead, true, 6);
    EXPECT_FALSE(fit_front(grid, Modality::mr, fit_of(t2), ahead, ahead, CorneaPlace::inner_face_from_centre_mm(outer_radius), FrontSearch::wide));
}

TEST(FrontModel, an_axis_that_rivals_contradict_is_less_certain) {
    // The same eye with and without anything that stands out before the vitreous: lens, wall and lid as bright as the fluid.
    const Contrast told{"t2", Modality::mr, 930, 250, 150, 350, 500, 10}, hidden{"hidden", Modality::mr, 930, 930, 900, 890, 880, 870};
    const PatientVector truth = gaze(8.0, 4.0);
    const double cornea_mm = CorneaPlace::inner_face_from_centre_mm(outer_radius);
    const auto sure = fit_front(image(told, 2.0, truth, true, 18), Modality::mr, fit_of(told), ahead, ahead, cornea_mm, FrontSearch::wide);
    const auto unsure = fit_front(image(hidden, 2.0, truth, true, 18), Modality::mr, fit_of(told), ahead, ahead, cornea_mm, FrontSearch::wide);
    ASSERT_TRUE(sure && unsure);
    EXPECT_GT(unsure->axis_uncertainty_deg, 2.0 * sure->axis_uncertainty_deg);
}

}  // namespace perisclera
