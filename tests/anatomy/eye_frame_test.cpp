// SPDX-License-Identifier: Apache-2.0
// The eye's own frame against what the patient's axes say (DICOM PS3.3 C.7.6.2.1.1) and how an examiner reads a clock.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/anatomy/eye_frame.h"

namespace perisclera {

namespace {

constexpr PatientVector ahead{0, -1, 0}, up{0, 0, 1}, to_the_left{1, 0, 0};

/// An eye that looks down, outwards and is rolled: no axis of it is an axis of the patient.
EyeFrame turned_frame() { return EyeFrame({31.0, -52.5, 8.25}, {0.31, -0.9, -0.24}, {0.17, 0.05, 1.3}); }

}  // namespace

TEST(EyeFrame, round_trips_give_the_same_point) {
    const EyeFrame frame = turned_frame();
    for (const PatientPoint p : {PatientPoint{0, 0, 0}, PatientPoint{31, -52.5, 8.25}, PatientPoint{-80.5, 12.25, 140}}) {
        const PatientPoint back = frame.to_patient(frame.to_eye(p));
        EXPECT_LT(length(back - p), 1e-11);
    }
    const EyePoint origin = frame.to_eye(frame.origin());
    EXPECT_LT(std::hypot(origin.x, origin.y, origin.z), 1e-12);
}

TEST(EyeFrame, distances_and_angles_survive) {
    const EyeFrame frame = turned_frame();
    const PatientVector a{1.0, -2.0, 0.5}, b{0.25, 4.0, -3.0};
    EXPECT_NEAR(dot(frame.to_eye(a), frame.to_eye(b)), dot(a, b), 1e-12);
    EXPECT_LT(length(frame.to_patient(frame.to_eye(a)) - a), 1e-12);
}

TEST(EyeFrame, is_right_handed_and_keeps_the_axis_it_was_given) {
    const EyeFrame frame = turned_frame();
    EXPECT_LT(length(cross(frame.towards_left(), frame.superior()) - frame.anterior()), 1e-12);
    EXPECT_LT(length(frame.anterior() - unit(PatientVector{0.31, -0.9, -0.24})), 1e-12);
    // Superior is as near to what was asked as a perpendicular allows: the part of it across the axis.
    EXPECT_NEAR(dot(frame.superior(), frame.anterior()), 0.0, 1e-12);
    EXPECT_NEAR(dot(frame.towards_left(), PatientVector{0.17, 0.05, 1.3}), 0.0, 1e-12);
    EXPECT_GT(dot(frame.superior(), up), 0.9);
}

// Both eyes have one handedness: three o'clock is to the patient's left, nasal in the right eye and temporal in the left.
TEST(EyeFrame, the_clock_reads_as_an_examiner_sees_it_on_both_eyes) {
    for (const Eye eye : both_eyes) {
        const PatientPoint centre{32.0 * temporal_sign(eye), -50.0, 5.0};
        const EyeFrame frame(centre, ahead, up);
        const auto hour = [&](PatientVector v) { return clock_of(frame.to_eye(centre + v)).hours(); };
        EXPECT_NEAR(hour(up), 0.0, 1e-9);
        EXPECT_NEAR(hour(to_the_left), 3.0, 1e-9);
        EXPECT_NEAR(hour(-up), 6.0, 1e-9);
        EXPECT_NEAR(hour(-to_the_left), 9.0, 1e-9);
        EXPECT_NEAR(hour(to_the_left * temporal_sign(eye)), eye == Eye::left ? 3.0 : 9.0, 1e-9) << "temporal side, " << name(eye);
        EXPECT_NEAR(hour(unit(up + to_the_left)), 1.5, 1e-9);
    }
}

TEST(EyeFrame, polar_angle_runs_from_the_cornea_to_the_back) {
    EXPECT_NEAR(polar_angle({0, 0, 3}), 0.0, 1e-12);
    EXPECT_NEAR(polar_angle({0, 2, 0}), std::numbers::pi / 2, 1e-12);
    EXPECT_NEAR(polar_angle({1, 0, -1}), 0.75 * std::numbers::pi, 1e-12);
    EXPECT_NEAR(polar_angle({0, 0, -1}), std::numbers::pi, 1e-12);
}

}  // namespace perisclera
