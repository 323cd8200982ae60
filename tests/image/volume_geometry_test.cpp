// SPDX-License-Identifier: Apache-2.0
#include "perisclera/image/volume_geometry.h"

#include <gtest/gtest.h>
#include <itkImage.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace perisclera {

constexpr double deg = std::numbers::pi / 180.0;

/// An oblique, non-cubic grid whose slices advance along their normal; `sign` -1 lets them run backwards.
VolumeGeometry oblique(double sign = 1.0) {
    const double a = 25.0 * deg, b = -10.0 * deg;
    const PatientVector row{std::cos(a), std::sin(a), 0.0};
    const PatientVector column{-std::sin(a) * std::cos(b), std::cos(a) * std::cos(b), std::sin(b)};
    return VolumeGeometry::make({-80.0, -120.5, 30.0}, row, column, cross(row, column) * (3.3 * sign), {0.43, 0.61}, {200, 180, 24}).value();
}

/// CT with the gantry tilted: slices lean by the angle, the table moves along z.
VolumeGeometry tilted(double angle) {
    return VolumeGeometry::make({-50.0, -60.0, 10.0}, {1, 0, 0}, {0, std::cos(angle), -std::sin(angle)}, {0, 0, 2.0}, {0.5, 0.5}, {100, 100, 30}).value();
}

void expect_near(PatientPoint a, PatientPoint b, double tolerance = 1e-9) { EXPECT_LE(length(a - b), tolerance) << a.x << " " << a.y << " " << a.z; }

TEST(VolumeGeometry, going_to_the_patient_and_back_changes_nothing) {
    for (const auto& g : {oblique(), oblique(-1.0), tilted(0.0), tilted(20.0 * deg)})
        for (const VoxelPoint v : {VoxelPoint{0, 0, 0}, VoxelPoint{12.25, 170.5, 3.75}, VoxelPoint{-4, 300, -7}}) {
            const VoxelPoint back = g.to_voxel(g.to_patient(v));
            EXPECT_NEAR(back.x, v.x, 1e-9);
            EXPECT_NEAR(back.y, v.y, 1e-9);
            EXPECT_NEAR(back.z, v.z, 1e-9);
        }
}

// DICOM PS3.3 C.7.6.2.1.1, equation C.7.6.2.1-1: P = S + X di i + Y dj j.
TEST(VolumeGeometry, voxel_lies_where_the_dicom_equation_puts_it) {
    const auto g = VolumeGeometry::make({-100.0, -90.0, 40.0}, {0, 1, 0}, {0, 0, -1}, {1.5, 0, 0}, {0.7, 0.9}, {10, 10, 10}).value();
    expect_near(g.to_patient({3, 0, 0}), {-100.0, -90.0 + 3 * 0.7, 40.0});
    expect_near(g.to_patient({0, 4, 0}), {-100.0, -90.0, 40.0 - 4 * 0.9});
    expect_near(g.to_patient({0, 0, 5}), {-100.0 + 5 * 1.5, -90.0, 40.0});
}

// Another library: ITK's own index to physical point transform, which knows no tilt, on both slice orders.
TEST(VolumeGeometry, agrees_with_itk_where_slices_are_square_to_their_stack) {
    for (const double sign : {1.0, -1.0}) {
        const auto g = oblique(sign);
        auto image = itk::Image<float, 3>::New();
        itk::Image<float, 3>::DirectionType direction;
        const PatientVector third = unit(g.slice_step());
        const std::array<PatientVector, 3> axes{g.row(), g.column(), third};
        for (unsigned a = 0; a < 3; ++a) {
            direction(0, a) = axes[a].x;
            direction(1, a) = axes[a].y;
            direction(2, a) = axes[a].z;
        }
        const double origin[3]{g.origin().x, g.origin().y, g.origin().z};
        const double spacing[3]{g.spacing_mm()[0], g.spacing_mm()[1], g.spacing_mm()[2]};
        image->SetOrigin(origin);
        image->SetSpacing(spacing);
        image->SetDirection(direction);
        for (const VoxelPoint v : {VoxelPoint{0, 0, 0}, VoxelPoint{7, 11, 13}, VoxelPoint{150.5, 20.25, 8.5}}) {
            itk::ContinuousIndex<double, 3> index;
            index[0] = v.x;
            index[1] = v.y;
            index[2] = v.z;
            const auto p = image->TransformContinuousIndexToPhysicalPoint<double, double>(index);
            expect_near(g.to_patient(v), {p[0], p[1], p[2]});
        }
    }
}

// A slice leaning by t advances along z by s: the gap between slice planes is s cos t, so a voxel holds dx dy s cos t.
TEST(VolumeGeometry, tilted_gantry_is_represented_exactly) {
    const double t = 20.0 * deg;
    const auto g = tilted(t);
    EXPECT_NEAR(g.spacing_mm()[2], 2.0 * std::cos(t), 1e-12);
    EXPECT_NEAR(g.voxel_volume_mm3(), 0.5 * 0.5 * 2.0 * std::cos(t), 1e-12);
    expect_near(g.to_patient({0, 0, 10}), {-50.0, -60.0, 30.0});  // straight along the table, not along the slice normal
    expect_near(g.to_patient({0, 10, 0}), {-50.0, -60.0 + 5.0 * std::cos(t), 10.0 - 5.0 * std::sin(t)});
}

// The volume of a parallelepiped is the triple product of its edges.
TEST(VolumeGeometry, voxel_volume_is_the_triple_product_of_the_steps) {
    for (const auto& g : {oblique(), oblique(-1.0), tilted(15.0 * deg)}) {
        const PatientPoint o = g.to_patient({0, 0, 0});
        const auto i = g.to_patient({1, 0, 0}) - o, j = g.to_patient({0, 1, 0}) - o, k = g.to_patient({0, 0, 1}) - o;
        EXPECT_NEAR(std::abs(dot(i, cross(j, k))), g.voxel_volume_mm3(), 1e-9);
    }
}

// The gradient of a linear function is its vector of coefficients, whatever the grid.
TEST(VolumeGeometry, gradient_of_a_linear_function_comes_back) {
    const PatientVector truth{0.3, -1.2, 2.5};
    for (const auto& g : {oblique(), oblique(-1.0), tilted(20.0 * deg)}) {
        const auto f = [&](VoxelPoint v) { return dot(truth, g.to_patient(v) - PatientPoint{0, 0, 0}); };
        const double base = f({5, 6, 7});
        const PatientVector found = g.gradient_to_patient({f({6, 6, 7}) - base, f({5, 7, 7}) - base, f({5, 6, 8}) - base});
        EXPECT_LE(length(found - truth), 1e-9);
    }
}

TEST(VolumeGeometry, sub_block_keeps_every_voxel_in_its_place) {
    const auto g = tilted(20.0 * deg);
    const auto block = g.sub_block({10, 20, 5}, {30, 40, 8});
    EXPECT_EQ(block.size(), (std::array<int, 3>{30, 40, 8}));
    expect_near(block.to_patient({1, 2, 3}), g.to_patient({11, 22, 8}));
    expect_near(block.to_patient({29, 39, 7}), g.to_patient({39, 59, 12}));
}

TEST(VolumeGeometry, contains_reaches_half_a_voxel_beyond_the_outer_centres) {
    const auto g = oblique();
    EXPECT_TRUE(g.contains(g.to_patient({-0.49, 179.49, 23.49})));
    EXPECT_FALSE(g.contains(g.to_patient({-0.51, 10, 10})));
    EXPECT_FALSE(g.contains(g.to_patient({10, 179.51, 10})));
    EXPECT_TRUE(g.contains(g.to_patient({0.01, 0.01, 0.01}), 0.0));
    EXPECT_FALSE(g.contains(g.to_patient({-0.01, 0.01, 0.01}), 0.0));
}

struct Wrong {
    const char* what;
    ErrorCode code;
    PatientPoint origin{0, 0, 0};
    PatientVector row{1, 0, 0}, column{0, 1, 0}, step{0, 0, 1};
    std::array<double, 2> in_plane{1.0, 1.0};
    std::array<int, 3> size{4, 4, 4};
};

TEST(VolumeGeometry, impossible_grids_are_refused_each_with_its_own_code) {
    const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
    std::vector<Wrong> cases{
        {.what = "position not a number", .code = ErrorCode::bad_position, .origin = {nan, 0, 0}},
        {.what = "position infinite", .code = ErrorCode::bad_position, .origin = {0, inf, 0}},
        {.what = "row not of unit length", .code = ErrorCode::bad_orientation, .row = {1.01, 0, 0}},
        {.what = "row zero", .code = ErrorCode::bad_orientation, .row = {0, 0, 0}},
        {.what = "row not a number", .code = ErrorCode::bad_orientation, .row = {nan, 0, 0}},
        {.what = "column not square to row", .code = ErrorCode::bad_orientation, .column = {std::sin(0.01), std::cos(0.01), 0}},
        {.what = "column equal to row", .code = ErrorCode::bad_orientation, .column = {1, 0, 0}},
        {.what = "slices do not advance", .code = ErrorCode::bad_spacing, .step = {0, 0, 0}},
        {.what = "slices advance within their plane", .code = ErrorCode::bad_spacing, .step = {1, 1, 0}},
        {.what = "step not a number", .code = ErrorCode::bad_spacing, .step = {0, 0, nan}},
        {.what = "spacing zero", .code = ErrorCode::bad_spacing, .in_plane = {0.0, 1.0}},
        {.what = "spacing negative", .code = ErrorCode::bad_spacing, .in_plane = {1.0, -0.5}},
        {.what = "spacing not a number", .code = ErrorCode::bad_spacing, .in_plane = {nan, 1.0}},
        {.what = "spacing infinite", .code = ErrorCode::bad_spacing, .in_plane = {1.0, inf}},
        {.what = "no columns", .code = ErrorCode::bad_size, .size = {0, 4, 4}},
        {.what = "negative slices", .code = ErrorCode::bad_size, .size = {4, 4, -1}},
    };
    for (const auto& c : cases) {
        const auto made = VolumeGeometry::make(c.origin, c.row, c.column, c.step, c.in_plane, c.size);
        ASSERT_FALSE(made.ok()) << c.what;
        EXPECT_EQ(made.error().code, c.code) << c.what;
    }
}

// Header directions carry about six decimals, so a skew below the tolerance is rounding: it is squared up, not refused.
TEST(VolumeGeometry, rounded_directions_are_squared_up) {
    const auto g = VolumeGeometry::make({0, 0, 0}, {0.99999, 0.0002, 0}, {0.0001, 1.00001, 0}, {0, 0, 1}, {1, 1}, {2, 2, 2}).value();
    EXPECT_NEAR(length(g.row()), 1.0, 1e-12);
    EXPECT_NEAR(length(g.column()), 1.0, 1e-12);
    EXPECT_NEAR(dot(g.row(), g.column()), 0.0, 1e-12);
    EXPECT_NEAR(g.normal().z, 1.0, 1e-12);
}

}  // namespace perisclera
