// SPDX-License-Identifier: Apache-2.0
// Errors of a mapping between two series that is off by a known rotation: a point at the distance d from the axis of a turn by t is off by 2 d sin(t/2).
#include "eye_mapping.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/drawn_eye.h"

namespace perisclera::globes {

constexpr double radius = 12.0, degree = phantoms::pi / 180.0;

/// The same sphere in two series: head and gaze differ.
TrueEye eye_in(const std::string& series, double gaze_left, double gaze_up) {
    const auto scenario = phantoms::parse_scenario(R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950}, "timepoints": [{"study_date": "2020-01-31", "series": [)" + series + "]}]}");
    return TrueEye(phantoms::GlobeShape::sphere(radius), phantoms::EyePlacement::looking({31.0, 0.0, 0.0}, gaze_left, gaze_up), phantoms::HeadPose(scenario.value().timepoints[0].series[0]));
}
TrueEye first_eye() { return eye_in(R"({"kind": "ct", "pose_deg": [5, -8, 3]})", 4.0, -6.0); }
TrueEye second_eye() { return eye_in(R"({"kind": "t2", "pose_deg": [-10, 4, 12], "shift_mm": [3, 0, -7]})", -9.0, 2.0); }

EyePoint in_eye(const TrueEye& eye, PatientPoint p) {
    const PatientVector d = p - eye.centre();
    return {dot(d, eye.towards_left()), dot(d, eye.superior()), dot(d, eye.anterior())};
}

/// Where the point truly lies in the second series, turned there by `angle` about a direction of the eye.
Mapping off_by(EyeVector axis, double angle) {
    return [=](PatientPoint p) {
        const TrueEye to = second_eye();
        const EyeVector v = in_eye(first_eye(), p) - EyePoint{0, 0, 0};
        const EyeVector turned = v * std::cos(angle) + cross(axis, v) * std::sin(angle) + axis * (dot(axis, v) * (1.0 - std::cos(angle)));
        return to.to_patient(EyePoint{0, 0, 0} + turned);
    };
}

TEST(MappingError, is_nothing_where_the_mapping_is_right) {
    const MappingError error = error_of(off_by({0, 0, 1}, 0.0), first_eye(), second_eye());
    ASSERT_EQ(error.equator_mm.size(), 24u);
    for (const double e : error.equator_mm) EXPECT_NEAR(e, 0.0, 1e-9);
    EXPECT_NEAR(error.axis_deg, 0.0, 1e-6);
    EXPECT_NEAR(error.torsion_deg, 0.0, 1e-6);
}

TEST(MappingError, a_turn_about_the_axis_moves_the_whole_equator_alike_and_is_torsion_alone) {
    // Eye coordinates are right-handed: a positive turn about the anterior axis brings left towards superior, and 12 o'clock towards the patient's right.
    const MappingError error = error_of(off_by({0, 0, 1}, 3.0 * degree), first_eye(), second_eye());
    for (const double e : error.equator_mm) EXPECT_NEAR(e, 2.0 * radius * std::sin(1.5 * degree), 1e-9);
    EXPECT_NEAR(error.axis_deg, 0.0, 1e-6);
    EXPECT_NEAR(error.torsion_deg, -3.0, 1e-6);
}

TEST(MappingError, a_turn_about_a_line_across_the_axis_moves_each_point_by_its_distance_from_the_line) {
    const MappingError error = error_of(off_by({0, 1, 0}, 6.0 * degree), first_eye(), second_eye());
    for (int i = 0; i < 24; ++i) {
        const double from_line = radius * std::abs(std::sin(2.0 * phantoms::pi * i / 24));
        EXPECT_NEAR(error.equator_mm[static_cast<std::size_t>(i)], 2.0 * from_line * std::sin(3.0 * degree), 1e-9) << i;
    }
    EXPECT_NEAR(error.axis_deg, 6.0, 1e-6);
    EXPECT_NEAR(error.torsion_deg, 0.0, 1e-6);
}

TEST(MappingError, a_shift_moves_all_points_and_turns_nothing) {
    const Mapping right = off_by({0, 0, 1}, 0.0);
    const MappingError error = error_of([&](PatientPoint p) { return right(p) + PatientVector{0.3, 0.0, 0.4}; }, first_eye(), second_eye());
    for (const double e : error.equator_mm) EXPECT_NEAR(e, 0.5, 1e-9);
    EXPECT_NEAR(error.axis_deg, 0.0, 1e-6);
    EXPECT_NEAR(error.torsion_deg, 0.0, 1e-6);
}

TEST(Mapping, true_frames_carry_the_eye_without_error) {
    const auto true_globe = [](const TrueEye& eye) {
        Globe globe = test::ball_globe(Eye::left, eye.centre(), radius);
        globe.frame = EyeFrame(eye.centre(), eye.anterior(), eye.superior());
        return globe;
    };
    const MappingError error = error_of(mapping_between(true_globe(first_eye()).frame, true_globe(second_eye()).frame), first_eye(), second_eye());
    for (const double e : error.equator_mm) EXPECT_NEAR(e, 0.0, 1e-9);
}

TEST(Turn, of_the_gaze_alone_is_the_angle_told) {
    const std::string still = R"({"kind": "ct"})";
    EXPECT_NEAR(turn_between(eye_in(still, 0.0, 0.0), eye_in(still, 17.0, 0.0)), 17.0, 1e-6);
    EXPECT_NEAR(turn_between(eye_in(still, 0.0, 0.0), eye_in(still, 0.0, -11.0)), 11.0, 1e-6);
}

TEST(Turn, of_the_head_alone_is_the_angle_told) {
    EXPECT_NEAR(turn_between(eye_in(R"({"kind": "ct"})", 0.0, 0.0), eye_in(R"({"kind": "ct", "pose_deg": [0, 0, 20]})", 0.0, 0.0)), 20.0, 1e-6);
}

}  // namespace perisclera::globes
