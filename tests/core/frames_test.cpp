// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/frames.h"

#include <gtest/gtest.h>

#include <type_traits>

#include "perisclera/core/eye.h"

namespace perisclera {

TEST(Frames, difference_of_points_is_a_vector_of_the_same_frame) {
    static_assert(std::is_same_v<decltype(PatientPoint{} - PatientPoint{}), PatientVector>);
    static_assert(std::is_same_v<decltype(EyePoint{} + EyeVector{}), EyePoint>);
    EXPECT_EQ((PatientPoint{4, 6, 8} - PatientPoint{1, 2, 3}), (PatientVector{3, 4, 5}));
}

// A right-handed frame: x cross y is z, and Lagrange's identity |a x b|^2 + (a.b)^2 = |a|^2 |b|^2.
TEST(Frames, cross_product_is_right_handed_and_obeys_lagrange) {
    EXPECT_EQ(cross(PatientVector{1, 0, 0}, PatientVector{0, 1, 0}), (PatientVector{0, 0, 1}));
    const PatientVector a{1.5, -2.0, 0.25}, b{-0.5, 3.0, 4.0};
    const auto c = cross(a, b);
    EXPECT_NEAR(dot(c, c) + dot(a, b) * dot(a, b), dot(a, a) * dot(b, b), 1e-12);
    EXPECT_NEAR(dot(c, a), 0.0, 1e-12);
    EXPECT_NEAR(dot(c, b), 0.0, 1e-12);
}

TEST(Frames, unit_vector_keeps_the_direction) {
    const PatientVector u = unit(PatientVector{2.0, 3.0, 6.0});  // 2, 3, 6 and 7: a Pythagorean quadruple
    EXPECT_NEAR(u.x, 2.0 / 7.0, 1e-15);
    EXPECT_NEAR(u.y, 3.0 / 7.0, 1e-15);
    EXPECT_NEAR(u.z, 6.0 / 7.0, 1e-15);
    EXPECT_EQ(length(PatientVector{2.0, 3.0, 6.0}), 7.0);
}

// DICOM PS3.3 C.7.6.2.1.1: x increases to the left hand side of the patient, so the right eye's temple lies at smaller x.
TEST(Eye, temple_of_the_right_eye_lies_at_smaller_x) {
    EXPECT_EQ(temporal_sign(Eye::right), -1.0);
    EXPECT_EQ(temporal_sign(Eye::left), 1.0);
    for (const Eye eye : both_eyes) {
        EXPECT_NE(fellow(eye), eye);
        EXPECT_EQ(fellow(fellow(eye)), eye);
        EXPECT_EQ(temporal_sign(fellow(eye)), -temporal_sign(eye));
    }
    EXPECT_EQ(name(Eye::right), "right");
    EXPECT_EQ(name(Eye::left), "left");
}

}  // namespace perisclera
