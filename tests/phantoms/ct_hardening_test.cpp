// SPDX-License-Identifier: Apache-2.0
// Errors of a calibration on water. Expected: none in water; the published signs: cupping beneath a skull, dark bands between dense bodies, streaks that
// fade with distance from metal (Brooks and Di Chiro 1976, Phys Med Biol 21:390).
#include "phantoms/ct_hardening.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "phantoms/ct_substance.h"

namespace perisclera::phantoms {
namespace {

constexpr int side = 128;
constexpr double pitch = 2.0;

/// A cylinder of water 18 cm across; `other` says where something else lies in it, coordinates in mm from the middle.
PlaneContent cylinder(const std::function<bool(double, double)>& other, bool of_metal) {
    PlaneContent content{Image(side, side), Image(side, side), Image(side, side), pitch};
    for (int y = 0; y < side; ++y)
        for (int x = 0; x < side; ++x) {
            const double across = (x - (side - 1) / 2.0) * pitch, down = (y - (side - 1) / 2.0) * pitch;
            if (std::hypot(across, down) > 90.0) continue;
            (other(across, down) ? (of_metal ? content.metal : content.bone) : content.water).at(x, y) = 1.0f;
        }
    return content;
}

double at(const Image& image, double across, double down) {
    return static_cast<double>(image.at(static_cast<int>(std::lround(across / pitch + (side - 1) / 2.0)), static_cast<int>(std::lround(down / pitch + (side - 1) / 2.0))));
}

const auto nothing = [](double, double) { return false; };
const auto skull = [](double x, double y) { return std::hypot(x, y) > 83.0; };
const auto two_rods = [](double x, double y) { return std::hypot(std::abs(x) - 45.0, y) < 10.0; };
const auto two_clips = [](double x, double y) { return std::abs(std::abs(x) - 30.0) < 1.5 && std::abs(y) < 1.5; };

TEST(CtHardening, water_alone_reads_right) {
    const Image error = CtHardening(120.0, substances::titanium(), 1.0).error(cylinder(nothing, false), 90);
    for (const float v : error.values) EXPECT_EQ(v, 0.0f);
}

// Bone adds less and less: twice as much of it counts for less than twice, at every voltage.
TEST(CtHardening, the_more_bone_in_the_way_the_less_each_part_of_it_counts) {
    for (const double kvp : {80.0, 120.0, 140.0}) {
        const CtHardening scanner(kvp, substances::titanium(), 1.0);
        EXPECT_LT(scanner.excess_water_cm(14.0, 4.0, 0.0) + scanner.excess_water_cm(14.0, 0.0, 0.0), 2.0 * scanner.excess_water_cm(14.0, 2.0, 0.0)) << kvp;
        EXPECT_LT(scanner.excess_water_cm(20.0, 2.0, 0.0), scanner.excess_water_cm(5.0, 2.0, 0.0)) << kvp;
    }
}

TEST(CtHardening, a_skull_makes_a_cup) {
    const Image error = CtHardening(120.0, substances::titanium(), 1.0).error(cylinder(skull, false), 120);
    const double middle = at(error, 0, 0);
    for (const double angle : {0.3, 1.2, 2.5, 4.0}) {
        EXPECT_GT(at(error, 74.0 * std::cos(angle), 74.0 * std::sin(angle)), middle + 3.0) << angle;
        EXPECT_GT(at(error, 74.0 * std::cos(angle), 74.0 * std::sin(angle)), at(error, 45.0 * std::cos(angle), 45.0 * std::sin(angle))) << angle;
    }
}

TEST(CtHardening, between_two_dense_bodies_runs_a_dark_band) {
    const Image bone = CtHardening(120.0, substances::titanium(), 1.0).error(cylinder(two_rods, false), 180);
    EXPECT_LT(at(bone, 0, 0), -5.0);
    EXPECT_LT(at(bone, 0, 0), at(bone, 0, 40.0) - 5.0);
    const Image titanium = CtHardening(120.0, substances::titanium(), 0.0).error(cylinder(two_clips, true), 180);
    EXPECT_LT(at(titanium, 0, 0), -20.0);
    for (const double aside : {20.0, 40.0, 60.0}) EXPECT_LT(std::abs(at(titanium, 0, aside)), std::abs(at(titanium, 0, 0)) / 4.0) << aside;
    const Image tantalum = CtHardening(120.0, substances::tantalum(), 0.0).error(cylinder(two_clips, true), 180);
    EXPECT_LT(at(tantalum, 0, 0), 10.0 * at(titanium, 0, 0));
}

TEST(CtHardening, what_the_scanner_corrects_is_gone) {
    const CtHardening none(120.0, substances::titanium(), 0.0), half(120.0, substances::titanium(), 0.5), all(120.0, substances::titanium(), 1.0);
    EXPECT_EQ(none.excess_water_cm(14.0, 2.0, 0.0), 0.0);
    EXPECT_NEAR(half.excess_water_cm(14.0, 2.0, 0.0), 0.5 * all.excess_water_cm(14.0, 2.0, 0.0), 1e-9);
    // Behind metal hardly anything reaches the detector: the metal is taken for less than it is.
    EXPECT_LT(CtHardening(120.0, substances::tantalum(), 0.0).excess_water_cm(14.0, 0.0, 0.1), -5.0);
}

}  // namespace
}  // namespace perisclera::phantoms
