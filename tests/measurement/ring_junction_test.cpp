// SPDX-License-Identifier: Apache-2.0
// Rings drawn from formulas on a blurred ball: of one thickness all round but for one stretch, which is thicker, wider or holds metal. What is said
// of their junction follows from how they were drawn.
#include "perisclera/measurement/ring_junction.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "perisclera/measurement/element_layers.h"
#include "tests/support/blurred_shell.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

using test::BlurredShell;

constexpr double degrees = std::numbers::pi / 180.0, kvp = 120.0, silicone = 200.0, blur = 0.45, middle_polar = 82 * degrees,
                 to_hours = 6.0 / std::numbers::pi;

struct Drawn {
    double thickness = 0.8, width = 3.5;
    double raised_hour = 4.0, raised_mm = 0.0, raised_times = 2.0, raised_width = 0.0;  ///< raised_width: 0, as the ring
    double second_hour = -1.0;                                                          ///< raised alike there too
    double bone_hour = -1.0;   ///< against the ring along 10 mm there
    double clip_hour = -1.0;
    double noise = 6.0;
    Appearance asked_as = Appearance::ct_bright;  ///< what it is taken for once it is measured
};

double step(double distance) { return 0.5 * std::erfc(-distance / (blur * std::numbers::sqrt2)); }
double within(double off, double half) { return step(half - std::abs(off)); }

double signal_at(const Drawn& ring, PatientPoint p) {
    // A ball that looks towards -y; 12 o'clock is +z, 3 o'clock +x.
    const double r = std::max(length(p - PatientPoint{0, 0, 0}), 0.1), polar = std::acos(std::clamp(-p.y / r, -1.0, 1.0)),
                 hour = ClockPosition::from_components(p.x, p.z == 0.0 && p.x == 0.0 ? 1.0 : p.z).hours();
    const BlurredShell none{0.0, silicone, blur};
    const auto mm_from = [&](double of_hour) {
        return ClockPosition(hour).distance_to(ClockPosition(of_hour)).value() / to_hours * BlurredShell::radius;
    };
    const auto raised_at = [&](double of_hour) {
        return of_hour < 0.0 || ring.raised_mm <= 0.0 ? 0.0 : within(mm_from(of_hour), 0.5 * ring.raised_mm);
    };
    const double raised = std::max(raised_at(ring.raised_hour), raised_at(ring.second_hour)), off = BlurredShell::radius * (polar - middle_polar);
    const auto layer = [&](double from, double to) { return step(r - BlurredShell::radius - from) - step(r - BlurredShell::radius - to); };
    const double width = within(off, 0.5 * ring.width), wider = ring.raised_width > 0.0 ? within(off, 0.5 * ring.raised_width) : width;
    double value = none.at(r) + (silicone - BlurredShell::fat) *
                                    (width * layer(0.0, ring.thickness) + raised * wider * layer(ring.thickness, ring.raised_times * ring.thickness) +
                                     raised * (wider - width) * layer(0.0, ring.thickness));
    if (ring.bone_hour >= 0.0) value += 900.0 * within(mm_from(ring.bone_hour), 5.0) * step(r - BlurredShell::radius - ring.thickness);
    if (ring.clip_hour >= 0.0)
        value += 6000.0 * within(mm_from(ring.clip_hour), 1.2) * within(off, 0.5 * ring.width) * layer(0.0, ring.thickness + 0.8);
    return value;
}

RingJunction junction_of(const Drawn& ring) {
    std::mt19937 chance(1);
    std::normal_distribution<double> normal(0.0, ring.noise);
    constexpr int size = 76;
    constexpr double spacing = 0.5, half = 0.5 * (size - 1) * spacing;
    const auto geometry =
        VolumeGeometry::make({-half, -half, -half}, {1, 0, 0}, {0, 1, 0}, {0, 0, spacing}, {spacing, spacing}, {size, size, size}).value();
    std::vector<float> values;
    for (int z = 0; z < size; ++z)
        for (int y = 0; y < size; ++y)
            for (int x = 0; x < size; ++x)
                values.push_back(static_cast<float>(signal_at(ring, {x * spacing - half, y * spacing - half, z * spacing - half}) + normal(chance)));
    const PolarBlock block(VoxelGrid(geometry, std::move(values)), test::ball_globe(Eye::right, {0, 0, 0}, BlurredShell::radius));
    const double half_polar = 0.5 * ring.width / BlurredShell::radius;
    FoundElement found = test::element_of({0.0, 12.0, middle_polar - half_polar, middle_polar + half_polar, 0.0, ring.thickness},
                                          Appearance::ct_bright, silicone, BlurredShell::fat);
    if (ring.raised_width > 0.0) {
        // The finder takes in what is wider as well.
        const double more = 0.5 * ring.raised_width / BlurredShell::radius, hours = ring.raised_mm / BlurredShell::radius * to_hours;
        const FoundElement wide =
            test::element_of({ring.raised_hour - 0.5 * hours, hours, middle_polar - more, middle_polar + more, 0.0, 2.0 * ring.thickness},
                             Appearance::ct_bright, silicone, BlurredShell::fat);
        for (const ElementCell& cell : wide.cells) {
            const auto place =
                std::lower_bound(found.cells.begin(), found.cells.end(), cell.index, [](const ElementCell& c, std::size_t i) { return c.index < i; });
            if (place != found.cells.end() && place->index == cell.index)
                place->share = std::max(place->share, cell.share);
            else
                found.cells.insert(place, cell);
        }
    }
    found.closed_ring = true;
    found.thinner_than_blur = ring.thickness < 1.0;
    const WallProfiler profiler(block, Modality::ct, {&found});
    ElementMeasurements measured = measured_by_layers(profiler, block, found, measure_element(block, found), kvp);
    FoundElement asked = found;
    asked.appearance = ring.asked_as;
    return ring_junction(profiler, block, asked, measured);
}

void expect_at(const RingJunction& told, double hour) {
    ASSERT_TRUE(told.clock_hour.has_value());
    EXPECT_LT(told.clock_hour->distance_to(ClockPosition(hour)).value(), 0.3);
}

}  // namespace

TEST(RingJunction, ends_that_lie_on_each_other_are_an_overlap_at_its_place) {
    for (const double thickness : {0.8, 2.0})
        for (const double length : {5.0, 8.0}) {
            const RingJunction told = junction_of({.thickness = thickness, .raised_mm = length});
            EXPECT_EQ(told.sign, JunctionSign::overlap) << thickness << " mm, along " << length;
            expect_at(told, 4.0);
        }
}

TEST(RingJunction, an_even_ring_has_none_that_shows) {
    for (const double thickness : {0.8, 2.0}) {
        const RingJunction told = junction_of({.thickness = thickness});
        EXPECT_EQ(told.sign, JunctionSign::not_seen) << thickness;
        EXPECT_FALSE(told.clock_hour.has_value());
    }
}

TEST(RingJunction, not_seen_is_not_said_where_one_could_hide) {
    EXPECT_EQ(junction_of({.bone_hour = 8.0}).sign, JunctionSign::unknown) << "bone lies on 10 mm of it";
    EXPECT_EQ(junction_of({.thickness = 0.6, .noise = 80.0}).sign, JunctionSign::unknown) << "noise";
}

TEST(RingJunction, what_is_raised_by_another_amount_or_is_wider_is_told_by_its_place_alone) {
    for (const Drawn& drawn : {Drawn{.raised_mm = 7.0, .raised_times = 3.2}, Drawn{.raised_mm = 7.0, .raised_width = 8.0}}) {
        const RingJunction told = junction_of(drawn);
        EXPECT_EQ(told.sign, JunctionSign::unknown);
        expect_at(told, 4.0);
    }
}

TEST(RingJunction, what_is_raised_over_more_than_an_overlap_or_twice_has_no_one_junction) {
    for (const Drawn& drawn : {Drawn{.raised_mm = 18.0}, Drawn{.raised_mm = 6.0, .second_hour = 9.0}}) {
        const RingJunction told = junction_of(drawn);
        EXPECT_EQ(told.sign, JunctionSign::unknown);
        EXPECT_FALSE(told.clock_hour.has_value());
    }
}

TEST(RingJunction, metal_on_the_ring_is_a_clip) {
    const RingJunction told = junction_of({.clip_hour = 7.5});
    EXPECT_EQ(told.sign, JunctionSign::clip);
    expect_at(told, 7.5);
}

TEST(RingJunction, an_overlap_is_asked_of_solid_silicone_only) {
    EXPECT_EQ(junction_of({.raised_mm = 6.0, .asked_as = Appearance::ct_dark}).sign, JunctionSign::unknown);
}

}  // namespace perisclera
