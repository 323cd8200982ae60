// SPDX-License-Identifier: Apache-2.0
// Globes drawn as balls with a wall in fat, in three contrasts and at three slice thicknesses: what is found and fitted against the
// formula that drew them. Signals are of the order of usual scans (common practice, no source).
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "perisclera/anatomy/globe.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double outer_radius = 12.1;
constexpr PatientPoint right_eye{-31.35, -60.2, 7.45}, left_eye{32.1, -59.65, 8.3};   // off the voxels' raster

struct Contrast {
    const char* name;
    Modality modality;
    double vitreous, sclera, fat;
};

std::ostream& operator<<(std::ostream& out, const Contrast& c) { return out << c.name; }

double signal(const Contrast& contrast, PatientPoint p, const std::vector<PatientPoint>& eyes) {
    for (const PatientPoint& eye : eyes) {
        const test::EyeLayer layer = test::eye_layer(p - eye, outer_radius);
        if (layer != test::EyeLayer::outside) return layer == test::EyeLayer::fluid ? contrast.vitreous : contrast.sclera;
        // The closed lid, as bright as the wall, and the air before it.
        if (const PatientVector d = p - eye; d.y < -8.0 && std::abs(d.x) < 20.0) return length(d) < 16.0 ? contrast.sclera : contrast.modality == Modality::ct ? -1000.0 : 10.0;
    }
    return contrast.fat;
}

VoxelGrid image_of(const Contrast& contrast, double slice, const std::vector<PatientPoint>& eyes) {
    return test::drawn_grid({0, -55, 8}, {140, 64, static_cast<int>(48.0 / slice)}, {0.8, 0.8, slice}, [&](PatientPoint p) { return signal(contrast, p, eyes); });
}

class DrawnGlobes : public ::testing::TestWithParam<std::tuple<Contrast, double>> {};

}  // namespace

TEST_P(DrawnGlobes, are_found_and_placed) {
    const auto& [contrast, slice] = GetParam();
    const VoxelGrid grid = image_of(contrast, slice, {right_eye, left_eye});
    const FoundGlobes found = find_globes(grid, contrast.modality);
    ASSERT_TRUE(found.right && found.left);
    for (const Eye eye : both_eyes) {
        const bool right = eye == Eye::right;
        const PatientPoint truth = right ? right_eye : left_eye;
        const Globe globe = fit_globe(grid, contrast.modality, eye, right ? *found.right : *found.left, right ? found.left->centre : found.right->centre);
        const PatientVector off = globe.frame.origin() - truth;
        EXPECT_LE(length(off), 0.3) << name(eye) << ": " << off.x << ' ' << off.y << ' ' << off.z;
        // Whichever face of the wall the contrast shows, the radius told is the outer one.
        EXPECT_NEAR(globe.equatorial_radius_mm(), outer_radius, 1.96 * globe.radius_uncertainty.value()) << name(eye);
        EXPECT_NEAR(globe.interior_mean, contrast.vitreous, 0.02 * std::abs(contrast.fat - contrast.vitreous)) << name(eye);
        // From the cornea's front, 7.8 mm before its centre, to the posterior pole.
        constexpr double limbus_mm = 5.85, corneal_radius_mm = 7.8;
        const double length_mm = std::sqrt(outer_radius * outer_radius - limbus_mm * limbus_mm) - std::sqrt(corneal_radius_mm * corneal_radius_mm - limbus_mm * limbus_mm) + corneal_radius_mm + outer_radius;
        if (const auto* measured = globe.axial_length.measured()) {
            EXPECT_NEAR(measured->value().value(), length_mm, measured->high().value() - measured->value().value()) << name(eye);
        }
        // No lens was drawn: the axis is known from the cornea, and never to less than the degree by which eyes depart from rings.
        const PatientVector ahead = unit(cross(left_eye - right_eye, {0, 0, 1}));
        EXPECT_LE(std::acos(dot(globe.frame.anterior(), ahead)) * 180.0 / std::numbers::pi, 2.0 * globe.axis_uncertainty.value());
        EXPECT_GE(globe.axis_uncertainty.value(), 1.0);
    }
}

INSTANTIATE_TEST_SUITE_P(contrasts, DrawnGlobes,
                         ::testing::Combine(::testing::Values(Contrast{"bright", Modality::mr, 1000, 120, 600}, Contrast{"dark", Modality::mr, 150, 350, 800},
                                                              Contrast{"ct", Modality::ct, 8, 45, -95}),
                                            ::testing::Values(1.0, 2.0, 3.0)),
                         [](const auto& about) { return std::string(std::get<0>(about.param).name) + "_" + std::to_string(static_cast<int>(std::get<1>(about.param))) + "mm"; });

// One ball may be anything; and where the two are too close or too far apart, they are no eyes (interpupillary distances of adults
// lie between 51 and 77 mm: ANSUR, Gordon CC et al. 1989).
TEST(DrawnGlobes, a_ball_alone_or_a_pair_too_far_apart_is_no_pair_of_eyes) {
    const Contrast bright{"bright", Modality::mr, 1000, 120, 600};
    for (const auto& eyes : {std::vector<PatientPoint>{right_eye}, std::vector<PatientPoint>{}, std::vector<PatientPoint>{{-16, -58, 8}, {16, -58, 8}},
                             std::vector<PatientPoint>{{-43, -58, 8}, {43, -58, 8}}}) {
        const FoundGlobes found = find_globes(image_of(bright, 2.0, eyes), Modality::mr);
        EXPECT_FALSE(found.right || found.left) << eyes.size();
    }
}

TEST(DrawnGlobes, a_lens_turns_the_axis_towards_it) {
    const Contrast bright{"bright", Modality::mr, 1000, 120, 600};
    // 9 mm across, 4 mm thick, its middle 6.4 mm before the centre, 12 degrees up.
    const double up = 12.0 * std::numbers::pi / 180.0;
    const PatientVector gaze{0, -std::cos(up), std::sin(up)};
    const VoxelGrid grid = test::drawn_grid({0, -55, 8}, {140, 64, 48}, {0.8, 0.8, 1.0}, [&](PatientPoint p) {
        for (const PatientPoint& eye : {right_eye, left_eye}) {
            const PatientVector d = p - eye;
            const double along = dot(d, gaze), across = length(d - gaze * along);
            if (std::pow((along - 6.4) / 2.0, 2) + std::pow(across / 4.5, 2) < 1.0) return 150.0;
        }
        return signal(bright, p, {right_eye, left_eye});
    });
    const FoundGlobes found = find_globes(grid, Modality::mr);
    ASSERT_TRUE(found.right && found.left);
    const Globe globe = fit_globe(grid, Modality::mr, Eye::right, *found.right, found.left->centre);
    const double off_degrees = std::acos(dot(globe.frame.anterior(), gaze)) * 180.0 / std::numbers::pi;
    EXPECT_LE(off_degrees, 1.96 * globe.axis_uncertainty.value());
    EXPECT_LT(globe.axis_uncertainty.value(), 10.0) << "surer than without a lens";
}

// An eye without a lens, 15 degrees to the side and 8 up: iris and ciliary body are rings about the axis (common practice, no source), and no more is needed.
TEST(DrawnGlobes, without_a_lens_rings_tell_the_axis) {
    const double side = 15.0 * std::numbers::pi / 180.0, up = 8.0 * std::numbers::pi / 180.0;
    const PatientVector gaze = unit(PatientVector{std::tan(side), -1.0, std::tan(up)});
    for (const Contrast& contrast : {Contrast{"bright", Modality::mr, 1000, 120, 600}, Contrast{"dark", Modality::mr, 150, 350, 800}, Contrast{"ct", Modality::ct, 8, 45, -95}}) {
        const VoxelGrid grid = test::drawn_grid({0, -55, 8}, {140, 64, 24}, {0.8, 0.8, 2.0}, [&](PatientPoint p) {
            for (const PatientPoint& eye : {right_eye, left_eye}) {
                const PatientVector d = p - eye;
                const double along = dot(d, gaze), across = length(d - gaze * along);
                const bool iris = std::abs(along - 8.7) < 0.4 && across > 1.5 && across < 6.0, ciliary_body = along > 5.5 && along < 9.0 && across > 5.5 && length(d) < outer_radius;
                if (iris || ciliary_body) return contrast.sclera;
            }
            return signal(contrast, p, {right_eye, left_eye});
        });
        const FoundGlobes found = find_globes(grid, contrast.modality);
        ASSERT_TRUE(found.right && found.left);
        const Globe globe = fit_globe(grid, contrast.modality, Eye::left, *found.left, found.right->centre);
        EXPECT_LE(std::acos(std::min(1.0, dot(globe.frame.anterior(), gaze))) * 180.0 / std::numbers::pi, 3.0) << contrast.name;
        EXPECT_LT(globe.axis_uncertainty.value(), 5.0) << contrast.name;
    }
}

// A long eye: half a sphere in front, half an ellipsoid behind. Between the limbus and the ora serrata, 60 degrees from the axis, the ciliary body thickens the
// wall to 2 mm. Neither may draw the centre along the axis.
TEST(DrawnGlobes, a_long_back_and_a_ciliary_body_leave_the_centre_where_the_front_half_has_it) {
    for (const double longer : {0.0, 1.5, 2.5}) {
        const auto image = [&](PatientPoint p) {
            PatientVector d = p - (p.x < 0.0 ? right_eye : left_eye);
            if (d.y > 0.0) d.y /= 1.0 + longer / outer_radius;
            const double r = length(d), cosine = -d.y / r;
            const bool ciliary_body = cosine > 0.5 && cosine < 0.87 && r > outer_radius - 2.0;
            const test::EyeLayer layer = test::eye_layer(d, outer_radius);
            return layer == test::EyeLayer::outside ? 600.0 : layer == test::EyeLayer::wall || ciliary_body ? 120.0 : 1000.0;
        };
        const VoxelGrid grid = test::drawn_grid({0, -55, 8}, {140, 64, 24}, {0.8, 0.8, 2.0}, image);
        const FoundGlobes found = find_globes(grid, Modality::mr);
        ASSERT_TRUE(found.right && found.left);
        const Globe globe = fit_globe(grid, Modality::mr, Eye::right, *found.right, found.left->centre);
        EXPECT_NEAR(globe.frame.origin().y, right_eye.y, 0.3) << longer;
        EXPECT_NEAR(globe.equatorial_radius_mm(), outer_radius, 1.96 * globe.radius_uncertainty.value()) << longer;
    }
}

}  // namespace perisclera
