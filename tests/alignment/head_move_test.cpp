// SPDX-License-Identifier: Apache-2.0
// A head drawn twice in unlike contrasts and turned by known angles, its eye turned otherwise: the head's turn is found by the head, and the eye's place and torsion by it. A blur's variance and a
// turn are closed forms.
#include "src/alignment/head_move.h"

#include <gtest/gtest.h>

#include "src/alignment/smoothed_eye.h"
#include "turned_eye.h"

namespace perisclera {

using namespace test;

namespace {

constexpr EyeVector left_eye{31, 0, 0};

/// Where the head lies: its own coordinates are those of a frame between the eyes.
double head_at(const EyeFrame& head, const EyeFrame& eye, const Contrast& c, PatientPoint p) {
    const EyePoint in_eye = eye.to_eye(p);
    if (in_eye.x * in_eye.x + in_eye.y * in_eye.y + in_eye.z * in_eye.z < outer * outer) return signal_at(in_eye, c);
    const EyePoint h = head.to_eye(p);
    const auto within = [&](double x, double y, double z, double rx, double ry, double rz) {
        const double a = (h.x - x) / rx, b = (h.y - y) / ry, d = (h.z - z) / rz;
        return a * a + b * b + d * d < 1.0;
    };
    if (within(-31, 0, 0, 12, 12, 12)) return c.fluid;
    if (within(31, 0, -6, 19, 17, 22) || within(-31, 0, -6, 19, 17, 22)) return c.around;         // fat of the orbits
    if (within(0, -14, 14, 9, 16, 14)) return c.wall;                                             // the nose
    if (within(0, -30, -20, 14, 13, 18) || within(0, 2, -12, 9, 9, 16)) return 0.0;              // air
    if (within(0, 30, -80, 64, 60, 74)) return within(10, 22, -62, 9, 8, 22) ? c.fluid : c.lens;  // brain, and a ventricle
    if (within(0, 10, -78, 72, 84, 82)) return c.wall;
    return within(0, 8, -78, 76, 88, 86) ? c.around : 0.0;
}

EyeFrame head_turned(PatientPoint middle, double turn_deg, double nod_deg, double roll_deg) {
    const EyeFrame ahead = looking(middle, turn_deg, nod_deg);
    return {middle, ahead.anterior(), ahead.superior() * std::cos(roll_deg * degree) + ahead.towards_left() * std::sin(roll_deg * degree)};
}

/// Turned in the head by these angles.
EyeFrame eye_in(const EyeFrame& head, double left_deg, double up_deg) {
    const double a = left_deg * degree, b = up_deg * degree;
    const EyeVector ahead{std::sin(a) * std::cos(b), std::sin(b), std::cos(a) * std::cos(b)};
    return {head.origin() + head.to_patient(left_eye), head.to_patient(ahead), head.superior()};
}

VoxelGrid drawn_head(const EyeFrame& head, const EyeFrame& eye, const Contrast& c) {
    return drawn_grid(head.origin() + PatientVector{0, 22, 0}, {92, 64, 34}, {1.3, 1.3, 2.0}, [&](PatientPoint p) { return head_at(head, eye, c, p); });
}

struct Scan {
    EyeFrame head, eye;
    VoxelGrid grid;
};
Scan scan(PatientPoint middle, std::array<double, 3> turn, std::array<double, 2> gaze, const Contrast& c) {
    const EyeFrame head = head_turned(middle, turn[0], turn[1], turn[2]), eye = eye_in(head, gaze[0], gaze[1]);
    return {head, eye, drawn_head(head, eye, c)};
}
const Scan& first_scan() {
    static const Scan one = scan({0, -40, 10}, {-4.0, -5.0, 2.0}, {6.0, 4.0}, t2);
    return one;
}
const Scan& second_scan() {
    static const Scan one = scan({6, -52, 3}, {9.0, 8.0, -14.0}, {-8.0, -3.0}, t1);
    return one;
}

/// From the first to the second head.
PatientVector truly_carried(PatientVector v) { return second_scan().head.to_patient(first_scan().head.to_eye(v)); }

/// As of a lone globe: level as the images, not as the head.
Globe levelled_by_images(const EyeFrame& eye) { return told({eye.origin(), eye.anterior(), {0, 0, 1}}); }

}  // namespace

TEST(Rotation, turns_right_handed_and_swings_straight) {
    const PatientVector x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1};
    EXPECT_LT(length(turned(x, z * (std::numbers::pi / 2)) - y), 1e-12);
    EXPECT_LT(length(swung(x, x, y) - y), 1e-12);
    EXPECT_LT(length(swung(z, x, y) - z), 1e-12) << "what is perpendicular to both stays";
}

TEST(HeadMove, follows_the_head_and_not_the_eye) {
    const Scan &a = first_scan(), &b = second_scan();
    const Globe first = levelled_by_images(a.eye), second = levelled_by_images(b.eye);
    const auto move = head_move({a.grid, Modality::mr, first}, {b.grid, Modality::mr, second});
    ASSERT_TRUE(move);
    for (const PatientVector v : {PatientVector{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}) EXPECT_LT(degrees_between(move->carried(v), truly_carried(v)), 1.5);
    EXPECT_LT(length(move->to - b.eye.origin()), 0.7);
    EXPECT_GT(degrees_between(move->carried(a.eye.anterior()), b.eye.anterior()), 10.0) << "the eye turned otherwise";
}

TEST(HeadMove, is_none_where_no_head_is_shown) {
    const EyeFrame eye = looking({31, -58, 8}, 0.0, 0.0);
    const VoxelGrid grid = drawn(eye, t2, {0.6, 0.6, 1.0});
    const Globe globe = told(eye);
    EXPECT_FALSE(head_move({grid, Modality::mr, globe}, {grid, Modality::mr, globe}));
}

TEST(HeadMove, levels_an_eye_whose_fellow_is_missing) {
    const Scan &a = first_scan(), &b = second_scan();
    const Globe first = levelled_by_images(a.eye), second = levelled_by_images(b.eye);
    const auto aligned = align_eye({a.grid, Modality::mr, first}, {b.grid, Modality::mr, second});
    ASSERT_TRUE(aligned) << aligned.error().what;
    // Where the upright of the first frame truly lies: the eye carries it.
    const PatientVector upright = b.eye.to_patient(a.eye.to_eye(first.frame.superior()));
    EXPECT_GT(degrees_between(second.frame.superior(), upright), 10.0) << "levelled by the images, the heads rolled by 16 degrees";
    EXPECT_LT(degrees_between(aligned.value().frame.superior(), upright), 3.0);
    EXPECT_LT(degrees_between(aligned.value().frame.anterior(), b.eye.anterior()), 2.0);
}

TEST(HeadMove, holds_an_eye_whose_globe_was_found_askew) {
    const Scan &a = first_scan(), &b = second_scan();
    const Globe first = levelled_by_images(a.eye);
    const EyeFrame off(b.eye.origin() + PatientVector{0.5, 1.6, -0.6}, b.eye.anterior(), {0, 0, 1});
    const Globe second = told(off);
    const auto aligned = align_eye({a.grid, Modality::mr, first}, {b.grid, Modality::mr, second});
    ASSERT_TRUE(aligned) << aligned.error().what;
    EXPECT_GT(length(off.origin() - b.eye.origin()), 1.7);
    EXPECT_LT(length(aligned.value().frame.origin() - b.eye.origin()), 0.6);
}

// One bright voxel spreads to a variance of 0.25 mm2 along each direction, whatever the spacing, and nothing is lost.
TEST(SmoothedEye, blurs_by_half_a_millimetre_in_every_direction) {
    for (const double slice_mm : {0.5, 1.0, 3.0}) {
        const std::array<double, 3> spacing{0.4, 0.6, slice_mm};
        const auto geometry = VolumeGeometry::make({-12, -12, -12}, {1, 0, 0}, {0, 1, 0}, {0, 0, slice_mm}, {spacing[0], spacing[1]}, {61, 41, static_cast<int>(24.0 / slice_mm) + 1});
        ASSERT_TRUE(geometry);
        const std::array<int, 3> n = geometry.value().size();
        const VoxelGrid empty(geometry.value(), std::vector<float>(static_cast<std::size_t>(n[0] * n[1] * n[2]), 0.0f));
        std::vector<float> values = empty.values();
        values[empty.offset(30, 20, n[2] / 2)] = 1000.0f;
        const VoxelGrid point(geometry.value(), values);
        const Globe globe = ball_globe(Eye::left, {0, 0, 0}, 12.0);
        const VoxelGrid blurred = smoothed_eye({point, Modality::mr, globe});
        double sum = 0.0;
        std::array<double, 3> squares{};
        const auto m = blurred.geometry().size();
        for (int z = 0; z < m[2]; ++z)
            for (int y = 0; y < m[1]; ++y)
                for (int x = 0; x < m[0]; ++x) {
                    const double v = static_cast<double>(blurred.at(x, y, z));
                    const PatientVector from = blurred.geometry().to_patient({1.0 * x, 1.0 * y, 1.0 * z}) - geometry.value().to_patient({30.0, 20.0, 1.0 * (n[2] / 2)});
                    sum += v;
                    squares[0] += v * from.x * from.x, squares[1] += v * from.y * from.y, squares[2] += v * from.z * from.z;
                }
        EXPECT_NEAR(sum, 1000.0, 0.1);
        for (const double s : squares) EXPECT_NEAR(s / sum, 0.25, 0.001) << slice_mm;
    }
}

}  // namespace perisclera
