// SPDX-License-Identifier: Apache-2.0
// The head's plane of symmetry, the line between the orbital rims and the place of globes, on heads drawn from formulas with closed forms.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/anatomy/head_midplane.h"
#include "perisclera/anatomy/interzygomatic_line.h"
#include "perisclera/anatomy/mass_effect.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double rim_beside_mm = 50.0, rim_behind_mm = 6.0, globe_beside_mm = 31.0;

/// A head turned by known angles, its own frame about the point midway between where globes belong.
struct DrawnHead {
    double yaw_deg = 0.0, roll_deg = 0.0;
    PatientPoint origin{3.0, -60.0, 20.0};

    [[nodiscard]] PatientVector left() const {
        const double y = yaw_deg * degree, r = roll_deg * degree;
        return {std::cos(y) * std::cos(r), std::sin(y) * std::cos(r), std::sin(r)};
    }
    [[nodiscard]] PatientVector forward() const { return unit(PatientVector{0, -1, 0} - left() * dot(PatientVector{0, -1, 0}, left())); }
    [[nodiscard]] PatientVector up() const { return cross(forward(), left()); }
    [[nodiscard]] PatientPoint at(double to_left, double forwards, double upwards) const { return origin + left() * to_left + forward() * forwards + up() * upwards; }

    /// Skull, brain and face alike on both sides; globes where they are, which need not be alike. HU as common practice has them.
    [[nodiscard]] double hu(PatientPoint p, const std::array<PatientPoint, 2>& globes) const {
        for (const PatientPoint& g : globes)
            if (length(p - g) < 12.0) return 12.0;
        const PatientVector d = p - origin;
        const double m = std::abs(dot(d, left())), f = dot(d, forward()), u = dot(d, up());
        if (m > rim_beside_mm - 3.0 && m < rim_beside_mm + 3.0 && f < -rim_behind_mm && f > -22.0 && std::abs(u) < 18.0) return 900.0;
        if (m < 9.0 && f > -10.0 && f < 24.0 && u < 4.0 && u > -26.0) return m < 5.0 && f < 10.0 ? -1000.0 : 50.0;   // nose
        const double skull = std::hypot(m / 70.0, (f + 75.0) / 70.0, (u - 30.0) / 75.0);
        if (skull < 0.92) return std::sin(0.13 * m) * std::sin(0.11 * f) * std::cos(0.09 * u) > 0.3 ? 10.0 : 38.0;
        if (skull < 1.0) return 900.0;
        return std::hypot(m / 76.0, (f + 65.0) / 80.0, u / 90.0) < 1.0 ? -90.0 : -1000.0;
    }
    [[nodiscard]] VoxelGrid scanned(const std::array<PatientPoint, 2>& globes) const {
        return test::drawn_grid(origin + PatientVector{0, 25, 0}, {118, 90, 40}, {1.4, 1.4, 2.0}, [&](PatientPoint p) { return hu(p, globes); });
    }
    [[nodiscard]] PatientPoint usual(Eye eye) const { return at(temporal_sign(eye) * globe_beside_mm, 0, 0); }
};

template <class Q>
bool holds(const Measured<Q>& m, double truth) {
    return m.low().value() <= truth && truth <= m.high().value();
}

}  // namespace

TEST(HeadMidplane, is_that_of_the_head_and_not_of_the_globes) {
    for (const auto& [yaw, roll] : {std::pair{0.0, 0.0}, std::pair{9.0, -6.0}, std::pair{-14.0, 8.0}}) {
        const DrawnHead head{yaw, roll};
        // One globe is 8 mm out of its place in each direction: the plane midway between the globes would be 4 mm off.
        const std::array<PatientPoint, 2> globes{head.at(-globe_beside_mm - 8.0, 8.0, -8.0), head.usual(Eye::left)};
        const auto plane = find_midplane(head.scanned(globes), Modality::ct, globes);
        ASSERT_TRUE(plane) << yaw;
        EXPECT_LT(std::acos(std::min(1.0, dot(plane->left, head.left()))) / degree, 1.96 * std::hypot(plane->yaw_uncertainty.value(), plane->roll_uncertainty.value())) << yaw;
        EXPECT_LT(std::abs(dot(plane->point - head.origin, head.left())), 1.96 * plane->place_uncertainty.value() + 0.1) << yaw;
        EXPECT_LT(plane->yaw_uncertainty.value(), 1.0) << "exactly alike on both sides: more would be no knowledge";
    }
}

TEST(HeadMidplane, of_a_head_seen_from_one_side_only_is_not_told) {
    const DrawnHead head;
    const std::array<PatientPoint, 2> globes{head.usual(Eye::right), head.usual(Eye::left)};
    const VoxelGrid left_half = test::drawn_grid(head.origin + PatientVector{45, 25, 0}, {55, 90, 40}, {1.4, 1.4, 2.0}, [&](PatientPoint p) { return head.hu(p, globes); });
    EXPECT_FALSE(find_midplane(left_half, Modality::ct, globes));
}

TEST(HeadMidplane, mirrors_points_and_keeps_its_axes_at_right_angles) {
    const DrawnHead head{10.0, 4.0};
    const HeadMidplane plane{head.origin, head.left(), Mm(0.2), Degrees(0.2), Degrees(0.2)};
    const PatientPoint mirrored = plane.mirrored(head.at(20.0, 5.0, -3.0)), truth = head.at(-20.0, 5.0, -3.0);
    EXPECT_LT(length(mirrored - truth), 1e-9);
    EXPECT_NEAR(dot(plane.anterior(), plane.superior()), 0.0, 1e-12);
    EXPECT_LT(plane.anterior().y, -0.9);
    EXPECT_GT(plane.superior().z, 0.9);
}

TEST(InterzygomaticLine, runs_between_the_front_edges_of_the_drawn_rims) {
    const DrawnHead head{7.0, 3.0};
    const std::array<PatientPoint, 2> centres{head.usual(Eye::right), head.usual(Eye::left)};
    const Globe right = test::ball_globe(Eye::right, centres[0], 12.0), left = test::ball_globe(Eye::left, centres[1], 12.0);
    const HeadMidplane plane{head.origin, head.left(), Mm(0.2), Degrees(0.2), Degrees(0.2)};
    const auto found = find_interzygomatic_line(head.scanned(centres), plane, {&right, &left});
    ASSERT_TRUE(std::holds_alternative<InterzygomaticLine>(found)) << std::get<Unmeasured>(found).why;
    const auto& line = std::get<InterzygomaticLine>(found);
    EXPECT_NEAR(line.in_front(centres[0], plane), rim_behind_mm, 1.96 * line.edge_uncertainty.value());
    EXPECT_NEAR(line.in_front(centres[1], plane), rim_behind_mm, 1.96 * line.edge_uncertainty.value());
    // A drawn rim is 6 mm broad and flat in front: an edge may be told anywhere along it.
    EXPECT_NEAR(line.length_mm(), 2.0 * rim_beside_mm, 6.5);
}

TEST(InterzygomaticLine, outside_the_images_is_told_so) {
    const DrawnHead head;
    const std::array<PatientPoint, 2> centres{head.usual(Eye::right), head.usual(Eye::left)};
    const Globe right = test::ball_globe(Eye::right, centres[0], 12.0), left = test::ball_globe(Eye::left, centres[1], 12.0);
    const VoxelGrid narrow = test::drawn_grid(head.origin, {90, 60, 20}, {0.9, 0.9, 2.0}, [&](PatientPoint p) { return head.hu(p, centres); });
    const auto found = find_interzygomatic_line(narrow, {head.origin, head.left(), Mm(0.2), Degrees(0.2), Degrees(0.2)}, {&right, &left});
    ASSERT_TRUE(std::holds_alternative<Unmeasured>(found));
    EXPECT_NE(std::get<Unmeasured>(found).why.find("outside the images"), std::string::npos);
}

std::optional<std::array<GlobePosition, 2>> positions_in(const VoxelGrid& ct, const Globe& right, const Globe& left) {
    const auto head = head_landmarks(ct, Modality::ct, right, left);
    return head ? std::optional(globe_positions(*head, right, left)) : std::nullopt;
}

TEST(MassEffect, offset_of_a_displaced_globe_is_what_it_was_moved_by_and_the_fellow_has_it_mirrored) {
    const DrawnHead head{8.0, -5.0};
    const std::array<PatientPoint, 2> centres{head.at(-globe_beside_mm + 2.0, 5.0, -3.0), head.usual(Eye::left)};
    const auto both = positions_in(head.scanned(centres), test::ball_globe(Eye::right, centres[0], 12.0), test::ball_globe(Eye::left, centres[1], 12.0));
    ASSERT_TRUE(both);
    for (const std::size_t which : {0, 1}) {
        const GlobeOffset& offset = (*both)[which].offset;
        const double sign = which == 0 ? 1.0 : -1.0;
        EXPECT_TRUE(holds(offset.anterior, sign * 5.0)) << offset.anterior.value().value();
        EXPECT_TRUE(holds(offset.superior, sign * -3.0)) << offset.superior.value().value();
        EXPECT_TRUE(holds(offset.left, 2.0)) << offset.left.value().value();   // the mirror image of a step to the left is a step to the right
        EXPECT_TRUE(holds(offset.rear_margin, sign * 5.0)) << offset.rear_margin.value().value();
        EXPECT_LT(offset.anterior.standard_uncertainty().value(), 1.0);
        const auto& protrusion = std::get<GlobeProtrusion>((*both)[which].protrusion);
        EXPECT_TRUE(holds(protrusion.centre_in_front, rim_behind_mm + (which == 0 ? 5.0 : 0.0)));
        EXPECT_TRUE(holds(protrusion.rear_margin_behind, 12.0 - rim_behind_mm - (which == 0 ? 5.0 : 0.0)));
    }
}

TEST(MassEffect, a_longer_eye_reaches_farther_back_and_its_centre_stays) {
    const DrawnHead head{5.0, 0.0};
    const std::array<PatientPoint, 2> centres{head.usual(Eye::right), head.usual(Eye::left)};
    Globe right = test::ball_globe(Eye::right, centres[0], 12.0);
    std::array<double, SmoothRadius::count> longer{};
    longer[0] = 12.0, longer[SmoothRadius::posterior] = 3.0;
    right.outer_radius = SmoothRadius(longer, right.frame.anterior());
    const auto both = positions_in(head.scanned(centres), right, test::ball_globe(Eye::left, centres[1], 12.0));
    ASSERT_TRUE(both);
    EXPECT_TRUE(holds((*both)[0].offset.anterior, 0.0));
    // Half an ellipsoid behind: its rearmost point lies 3 mm farther back straight behind; the head is turned by 5 degrees, which shortens that by less than 0.1 mm.
    EXPECT_NEAR((*both)[0].offset.rear_margin.value().value() - (*both)[0].offset.anterior.value().value(), -3.0, 0.15);
}

TEST(MassEffect, a_turned_eye_is_turned_and_not_displaced) {
    const DrawnHead head{6.0, 0.0};
    const std::array<PatientPoint, 2> centres{head.usual(Eye::right), head.usual(Eye::left)};
    const auto looking = [&](Eye eye, double left_deg) {
        Globe globe = test::ball_globe(eye, centres[eye == Eye::right ? 0 : 1], 12.0);
        globe.frame = EyeFrame(globe.frame.origin(), head.forward() * std::cos(left_deg * degree) + head.left() * std::sin(left_deg * degree), head.up());
        return globe;
    };
    const auto both = positions_in(head.scanned(centres), looking(Eye::right, 15.0), looking(Eye::left, 0.0));
    ASSERT_TRUE(both);
    const EyeTurn& right = (*both)[0].turn;
    EXPECT_NEAR(right.left.value().value(), 15.0, 1.0);
    EXPECT_NEAR((*both)[1].turn.left.value().value(), 0.0, 1.0);
    // The right eye looks 15 degrees towards the nose: the axes converge by as much.
    EXPECT_NEAR(right.nasal_to_fellow.value().value(), 15.0, 0.5);
    EXPECT_NEAR((*both)[1].turn.nasal_to_fellow.value().value(), 15.0, 0.5);
    EXPECT_TRUE(holds((*both)[0].offset.anterior, 0.0));
    EXPECT_TRUE(holds((*both)[0].offset.rear_margin, 0.0));
}

}  // namespace perisclera
