// SPDX-License-Identifier: Apache-2.0
// Elements put into drawn images whose every value is known. Volumes: the element's own integral, which element_shape_test holds to closed forms.
#include <cmath>

#include <gtest/gtest.h>

#include "phantoms/composite.h"
#include "phantoms/element_shape.h"

namespace perisclera::phantoms {

namespace {

constexpr double radius = 12.0;

VolumeGeometry geometry() { return VolumeGeometry::make({-27.0, -27.0, -27.0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1.0}, {0.5, 0.5}, {109, 109, 55}).value(); }

/// Value of each voxel by its number: no two neighbours alike, so that any change shows.
VoxelGrid uneven() {
    std::vector<float> values(109u * 109u * 55u);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = static_cast<float>((i * 37u) % 101u);
    return {geometry(), std::move(values)};
}
VoxelGrid even(float value) { return {geometry(), std::vector<float>(109u * 109u * 55u, value)}; }

/// A ball looking straight ahead.
RealGlobe ball() { return {{0, 0, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}, radius, [](PatientVector) { return radius; }}; }

Element sponge() { return {Material::silicone_sponge, Form::segmental, Section::ellipse, 1.0, 4.0, 12.0, 5.0, 4.0, 0.0, 1.0, 0.0, -550.0}; }

const CompositeLook without_noise{-550.0, {}, 0.5, 1.0, false};

}  // namespace

TEST(Composite, without_displacement_no_voxel_beyond_the_blur_changes) {
    CompositeLook look = without_noise;
    look.displaces = false;
    const VoxelGrid before = uneven(), after = put_into(before, ball(), sponge(), look, 1);
    const ElementShape shape(sponge(), GlobeShape::sphere(radius));
    int changed = 0;
    for (int z = 0; z < 55; ++z)
        for (int y = 0; y < 109; ++y)
            for (int x = 0; x < 109; ++x) {
                if (before.at(x, y, z) == after.at(x, y, z)) continue;
                ++changed;
                // Somewhere within the blur's reach (3.5 deviations and a voxel) the element must lie.
                const PatientPoint p = geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)});
                bool near = false;
                for (double dx = -2.5; dx <= 2.5 && !near; dx += 0.25)
                    for (double dy = -2.5; dy <= 2.5 && !near; dy += 0.25)
                        for (double dz = -0.5; dz <= 0.5 && !near; dz += 0.25) {
                            const PatientVector d = p + PatientVector{dx, dy, dz} - PatientPoint{0, 0, 0};
                            near = shape.contains(EyeVector{d.x, d.z, -d.y} / length(d), length(d) - radius);
                        }
                EXPECT_TRUE(near) << x << ' ' << y << ' ' << z;
            }
    EXPECT_GT(changed, 1000);
}

// Blur moves contrast about but keeps its sum: volume times contrast.
TEST(Composite, the_sum_of_contrast_is_the_elements_volume_whatever_the_blur) {
    const double volume = ElementShape(sponge(), GlobeShape::sphere(radius)).volume_mm3();
    for (const double blur : {0.3, 0.5, 1.0}) {
        CompositeLook look = without_noise;
        look.blur_mm = blur;
        const VoxelGrid after = put_into(even(-90.0f), ball(), sponge(), look, 1);
        double sum = 0.0;
        for (const float v : after.values()) sum += static_cast<double>(v) + 90.0;
        EXPECT_NEAR(sum * geometry().voxel_volume_mm3() / (-550.0 + 90.0), volume, 0.01 * volume) << blur;
    }
}

// Fat of 4 mm round a ball with brighter muscle beyond: above the element's middle all of it must still lie, squeezed, before the muscle.
TEST(Composite, tissue_is_pushed_outwards_and_not_overwritten) {
    std::vector<float> values;
    for (int z = 0; z < 55; ++z)
        for (int y = 0; y < 109; ++y)
            for (int x = 0; x < 109; ++x) {
                const double r = length(geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - PatientPoint{0, 0, 0});
                values.push_back(r < radius ? 10.0f : r < radius + 4.0 ? -90.0f : 50.0f);
            }
    const VoxelGrid after = put_into({geometry(), std::move(values)}, ball(), sponge(), without_noise, 1);
    // 2:30 o'clock, 12 mm behind the limbus: the element reaches from -1 to 3 mm.
    const double hour = 2.5 * pi / 6.0, polar = GlobeShape::sphere(radius).polar_angle(12.0);
    const PatientVector outwards{std::sin(polar) * std::sin(hour), -std::cos(polar), std::sin(polar) * std::cos(hour)};
    const auto at = [&](double height) { return after.sample(PatientPoint{0, 0, 0} + outwards * (radius + height)); };
    EXPECT_NEAR(at(1.0), -550.0f, 25.0f) << "the element's inside";
    EXPECT_NEAR(at(-2.6), 10.0f, 5.0f) << "vitreous under the dent";
    EXPECT_NEAR(at(4.7), -90.0f, 15.0f) << "fat above";
    // The squeeze maps 0..15.5 mm (8 + 2.5 x 3) onto 3..15.5 mm: fat ends at 3 + 4 x 12.5 / 15.5 = 6.2 mm.
    EXPECT_LT(at(5.6), -20.0f);
    EXPECT_GT(at(6.9), 10.0f);
}

// Within an element without signal, noise is all there is: on CT its own, of mean 0; of a magnitude, Rayleigh's, of mean s sqrt(pi / 2) and square 2 s^2.
TEST(Composite, an_element_has_the_series_noise_and_on_mr_its_magnitude) {
    constexpr double deviation = 10.0;
    const auto put = [](double value, double noise, bool magnitude) {
        Element gel = sponge();
        gel.section = Section::rectangle;
        gel.thickness_mm = 8.0, gel.width_mm = 8.0;
        return put_into(even(0.0f), ball(), gel, {value, {noise, 0, {}}, 0.3, 1.0, magnitude}, 1);
    };
    const VoxelGrid whole = put(1000.0, 0.0, false), ct = put(0.0, deviation, false), mr = put(0.0, deviation, true);
    double count = 0.0, sum[2]{}, squares[2]{};
    for (std::size_t i = 0; i < whole.values().size(); ++i) {
        if (whole.values()[i] < 999.9f) continue;
        const double values[]{static_cast<double>(ct.values()[i]), static_cast<double>(mr.values()[i])};
        count += 1.0;
        for (std::size_t k = 0; k < 2; ++k) sum[k] += values[k], squares[k] += values[k] * values[k];
    }
    ASSERT_GT(count, 2000.0);
    EXPECT_NEAR(sum[0] / count, 0.0, 4.0 * deviation / std::sqrt(count));
    EXPECT_NEAR(squares[0] / count, deviation * deviation, 0.06 * deviation * deviation);
    EXPECT_NEAR(sum[1] / count, deviation * std::sqrt(pi / 2.0), 0.03 * deviation);
    EXPECT_NEAR(squares[1] / count, 2.0 * deviation * deviation, 0.12 * deviation * deviation);
}

TEST(Composite, the_share_within_bone_is_that_of_the_element) {
    std::vector<float> values;
    for (int z = 0; z < 55; ++z)
        for (int y = 0; y < 109; ++y)
            for (int x = 0; x < 109; ++x) values.push_back(z >= 27 ? 800.0f : 0.0f);
    Element ring = sponge();
    ring.form = Form::encircling;
    ring.from_hour = 0.0, ring.to_hour = 12.0;
    // A ring that looks straight ahead lies half above the middle plane.
    EXPECT_NEAR(share_at_least({geometry(), std::move(values)}, ball(), ring, 400.0), 0.5, 0.03);
    EXPECT_EQ(share_at_least(even(0.0f), ball(), ring, 400.0), 0.0);
}

}  // namespace perisclera::phantoms
