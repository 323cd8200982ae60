// SPDX-License-Identifier: Apache-2.0
// What fills a part of a globe: how much, how it lies. Expected: volumes of spherical caps and spheres, gravity. Row numbers are those of the project's
// table of reference values.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "phantoms/head_pose.h"
#include "phantoms/look_alike_truth.h"
#include "phantoms/truth.h"

namespace perisclera::phantoms {
namespace {

constexpr double R = 12.0, wall = 0.5;

/// Without a lens, its wall of even thickness: the cavity behind is a sphere.
EyeState even_eye(Contents contents, double share) {
    EyeState state{R, GlobeShape::sphere(R).axial_length(), contents, Lens::none, {0, 0, 0}, {}};
    state.anatomy.sclera = ScleraAnatomy{wall, wall, wall, wall, wall, wall};
    state.contents_share = share;
    return state;
}

EyeState usual_eye(Contents contents, double share) {
    EyeState state{11.7, GlobeShape::sphere(11.7).axial_length(), contents, Lens::natural, {0, 0, 0}, {}};
    state.contents_share = share;
    return state;
}

/// Volumes of a tissue and of the fluid beside it, finely along the axis, across which their level lies.
std::array<double, 2> counted(const EyeModel& eye, Tissue tissue) {
    constexpr double across = 0.2, along = 0.02;
    std::array<double, 2> points{};
    for (double x = -12.5; x < 12.5; x += across)
        for (double y = -12.5; y < 12.5; y += across)
            for (double z = -12.5; z < 12.5; z += along) {
                const auto found = eye.label_at({x, y, z});
                points[0] += found == label(tissue), points[1] += found == label(Tissue::vitreous);
            }
    return {points[0] * across * across * along, points[1] * across * across * along};
}

// Lying prone, oil floats to the back of the eye, where nothing but the spherical wall bounds it; supine, perfluorocarbon sinks there.
TEST(GlobeContents, a_part_of_the_cavity_fills_a_spherical_cap_of_its_share) {
    constexpr double cavity_radius = R - wall - uvea_thickness_mm;
    for (const auto& [contents, tissue, down] : {std::tuple{Contents::silicone_oil, Tissue::silicone_oil, 1.0}, {Contents::perfluorocarbon, Tissue::perfluorocarbon, -1.0}})
        for (const double share : {0.02, 0.15, 0.4}) {
            const EyeModel eye(Eye::right, even_eye(contents, share), 100, {0.0, 0.0, down});
            double level = -cavity_radius + 1e-3;
            while (eye.label_at({0.0, 0.0, level}) == label(tissue)) level += 1e-3;
            const double height = cavity_radius + level, cap = pi * height * height * (3.0 * cavity_radius - height) / 3.0;
            const auto [filled, rest] = counted(eye, tissue);
            EXPECT_NEAR(filled, cap, 0.01 * cap) << share;
            EXPECT_NEAR(filled, share * (filled + rest), 0.01 * share * (filled + rest)) << share;
        }
}

/// Calls back with every point about the globe and what lies there.
template <class F>
void look_around(const HeadModel& head, Eye eye, double step, const F& found) {
    for (double x = -12.0; x <= 12.0; x += step)
        for (double y = -12.0; y <= 12.0; y += step)
            for (double z = -12.0; z <= 12.0; z += step) {
                const HeadPoint p = head.placement(eye).centre + HeadVector{x, y, z};
                found(p, head.label_at(p));
            }
}

// A fluid's surface is level: across gravity, which points to the back of a supine patient, however head and eye are turned.
TEST(GlobeContents, the_level_is_across_gravity_whatever_gaze_and_pose) {
    struct Case {
        Contents contents;
        Tissue tissue;
        bool floats;
    };
    for (const Case& c : {Case{Contents::silicone_oil, Tissue::silicone_oil, true}, {Contents::gas, Tissue::gas, true},
                          {Contents::perfluorocarbon, Tissue::perfluorocarbon, false}, {Contents::haemorrhage, Tissue::haemorrhage, false}}) {
        Series series{};
        series.pose_deg = {8.0, -6.0, 12.0};
        series.gaze_deg = {{{20.0, -15.0}, {20.0, -15.0}}};
        const HeadPose pose(series);
        const std::array<EyeState, 2> eyes{usual_eye(c.contents, 0.5), usual_eye(Contents::vitreous, 1.0)};
        const HeadModel head(eyes, series.gaze_deg, pose.down());
        const SeriesTruth truth = series_truth(series, "1.2.3", head, pose);
        ASSERT_TRUE(truth.fluid_levels[0]);
        EXPECT_FALSE(truth.fluid_levels[1]);
        int in_front = 0, behind = 0;
        look_around(head, Eye::right, 0.3, [&](HeadPoint p, Label found) {
            const double behind_level = pose.to_patient(p).y - *truth.fluid_levels[0];
            if (found == label(c.tissue)) {
                EXPECT_TRUE(c.floats ? behind_level < 1e-6 : behind_level > -1e-6) << name(c.contents);
                ++(behind_level < 0.0 ? in_front : behind);
            } else if (found == label(Tissue::vitreous)) {
                EXPECT_TRUE(c.floats ? behind_level > -1e-6 : behind_level < 1e-6) << name(c.contents);
                ++(behind_level < 0.0 ? in_front : behind);
            }
        });
        EXPECT_NEAR(in_front, behind, 0.01 * behind) << "half and half";
        EXPECT_GT(behind, 20000);
    }
}

// Row 2.10: small, roundish, dependent, moves.
TEST(GlobeContents, a_drop_of_perfluorocarbon_lies_at_the_lowest_point_and_keeps_its_volume) {
    EyeState state = usual_eye(Contents::vitreous, 1.0);
    LookAlike drop{LookAlikeKind::perfluorocarbon_drop};
    drop.size_mm[0] = 4.0;
    state.look_alikes = {drop};
    for (const double gaze : {0.0, 18.0}) {
        const HeadModel head({state, usual_eye(Contents::vitreous, 1.0)}, {{{gaze, gaze}, {0.0, 0.0}}});
        double points = 0.0, lowest = 0.0, lowest_vitreous = 0.0;
        HeadVector sum{0, 0, 0};
        look_around(head, Eye::right, 0.2, [&](HeadPoint p, Label found) {
            const HeadVector d = p - head.placement(Eye::right).centre;
            if (found == label(Tissue::vitreous)) lowest_vitreous = std::max(lowest_vitreous, d.y);
            if (found != label(Tissue::perfluorocarbon)) return;
            ++points, sum = sum + d, lowest = std::max(lowest, d.y);
        });
        EXPECT_NEAR(points * 0.008, pi / 6.0 * 64.0, 0.02 * pi / 6.0 * 64.0);
        EXPECT_NEAR(sum.x / points, 0.0, 0.1);
        EXPECT_NEAR(sum.z / points, 0.0, 0.1);
        EXPECT_GE(lowest, lowest_vitreous - 0.2);
    }
}

// Row 4.02: a vitreous of 5.48 mL (standard deviation 0.44) in emmetropes; this globe is theirs within 3 %.
TEST(GlobeContents, the_cavity_is_as_large_as_measured_in_people) {
    const ContentsTruth truth = contents_truth({usual_eye(Contents::gas, 0.3), usual_eye(Contents::vitreous, 1.0)}, Eye::right);
    EXPECT_NEAR(truth.cavity_mm3, 5480.0, 2.1 * 440.0);
    EXPECT_NEAR(truth.contents_mm3, 0.3 * truth.cavity_mm3, 1e-9);
}

}  // namespace
}  // namespace perisclera::phantoms
