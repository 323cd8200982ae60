// SPDX-License-Identifier: Apache-2.0
// The outer sclera of spheres whose wall is drawn from closed forms (blurred steps by the error function), in the contrasts of usual series, with muscle about part of the
// globe and in half of them an explant that dents another part; on CT also one all round that dents the equator.
#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include "src/anatomy/wall_fit.h"

namespace perisclera {

namespace {

// Signals of the order of usual scans (common practice, no source); CT in HU.
struct Contrast {
    const char* name;
    Modality modality;
    double vitreous, uvea, sclera, fat, muscle;
};

std::ostream& operator<<(std::ostream& out, const Contrast& c) { return out << c.name; }

const Contrast ct{"ct", Modality::ct, 8, 50, 50, -100, 55};

constexpr double radius_mm = 11.8, uvea_mm = 0.4, dent_mm = 1.5;
const PatientPoint true_centre{31.4, -42.3, 5.7};
const PatientVector anterior{0, -1, 0};

/// What is otherwise than in most eyes.
struct Unusual {
    double longer_mm = 0.0;   ///< by which the posterior pole lies beyond the sphere, evenly less to 115 degrees from the axis
    double flatter_mm = 0.0;  ///< by which both poles lie within the sphere, as of half an ellipsoid to first order
    double layer_mm = 0.0;    ///< thickness of a layer of muscle's signal on the sclera: Tenon's capsule and what lies in it (common practice, no source)
};

enum class Explant { none, dents, solid_encircles, sponge_encircles, hydrogel_encircles };

/// HU of the element: silicone rubbers show 112 to 271 at 120 kVp (row 1.05, J Digit Imaging 2020, doi 10.1007/s10278-020-00358-6); a sponge of 0.45 g/cm3 -506 by
/// calculation (row 1.10). A swollen hydrogel shows nearly what vitreous does on every series (common practice, no source).
double element_signal(const Contrast& c, Explant e) { return e == Explant::hydrogel_encircles ? 0.9 * c.vitreous + 0.1 * c.muscle : e == Explant::solid_encircles ? 220.0 : -500.0; }

double beyond_sphere(PatientVector d, double longer_mm) {
    constexpr double pi = 3.14159265358979, from = 115.0 / 180.0 * pi;
    const double share = std::clamp((std::acos(std::clamp(dot(d, anterior), -1.0, 1.0)) - from) / (pi - from), 0.0, 1.0);
    return longer_mm * 0.5 * (1.0 - std::cos(pi * share));
}

double squared(double x) { return x * x; }

double signal(const Contrast& c, PatientPoint p, double blur, Explant explanted, const Unusual& unusual = {}) {
    const PatientVector from_centre = p - true_centre, d = unit(from_centre);
    // A quarter of the directions lie under muscle, others behind an explant of 8 mm
    // without signal (elements are 5 to 9 mm wide: common practice, no source).
    const bool muscle = d.x > 0.5, explant = explanted == Explant::dents && d.z < -0.94;
    const double outer = radius_mm + beyond_sphere(d, unusual.longer_mm) - unusual.flatter_mm * squared(dot(d, anterior)) - (explant ? dent_mm : 0.0), beyond = explant ? 0.0 : muscle ? c.muscle : c.fat;
    // Sclera 0.42 mm at the equator, 0.65 mm half way to the posterior pole, 0.94 mm there (Vurgese S et al., PLoS ONE 2012;7:e29692).
    const double behind = std::max(0.0, std::acos(std::clamp(dot(d, anterior), -1.0, 1.0)) / (0.5 * 3.14159265358979) - 1.0);
    const double sclera_mm = behind < 0.5 ? 0.42 + 0.46 * behind : 0.65 + 0.58 * (behind - 0.5);
    const auto past = [&](double face) { return 0.5 * std::erfc((face - length(from_centre)) / (blur * std::sqrt(2.0))); };
    return c.vitreous + (c.uvea - c.vitreous) * past(outer - sclera_mm - uvea_mm) + (c.sclera - c.uvea) * past(outer - sclera_mm) + (c.muscle - c.sclera) * past(outer) +
           (beyond - c.muscle) * past(outer + unusual.layer_mm);
}

/// With an element 2 mm thick and 6 mm wide about the equator, which it dents by a millimetre, evenly less over 2 mm to either side (sizes: common practice, no source).
double signal_with_ring(const Contrast& c, PatientPoint p, double blur, Explant e) {
    constexpr double thick_mm = 2.0, half_width_mm = 3.0, slope_mm = 2.0, deep_mm = 1.0;
    const PatientVector from_centre = p - true_centre, d = unit(from_centre);
    const double from_equator = radius_mm * std::abs(std::asin(std::clamp(dot(d, anterior), -1.0, 1.0)));
    const double dent = deep_mm * std::clamp(1.0 - (from_equator - half_width_mm) / slope_mm, 0.0, 1.0);
    const auto past = [&](double distance) { return 0.5 * std::erfc(-distance / (blur * std::sqrt(2.0))); };
    const double bare = signal(c, p + d * dent, blur, Explant::none), beyond_wall = length(from_centre) - (radius_mm - dent);
    const double within = past(half_width_mm - from_equator) * past(beyond_wall) * past(thick_mm - beyond_wall);
    return bare + within * (element_signal(c, e) - (d.x > 0.5 ? c.muscle : c.fat));
}

VoxelGrid images(const Contrast& c, double blur, Explant explanted, const Unusual& unusual = {}) {
    constexpr double spacing = 0.6;
    constexpr int n = 68;
    const VolumeGeometry geometry = VolumeGeometry::make({true_centre.x - 20.0, true_centre.y - 20.0, true_centre.z - 20.0}, {1, 0, 0}, {0, 1, 0}, {0, 0, spacing}, {spacing, spacing}, {n, n, n}).value();
    std::vector<float> values;
    values.reserve(static_cast<std::size_t>(n) * n * n);
    for (int z = 0; z < n; ++z)
        for (int y = 0; y < n; ++y)
            for (int x = 0; x < n; ++x) {
                const PatientPoint p{true_centre.x - 20.0 + x * spacing, true_centre.y - 20.0 + y * spacing, true_centre.z - 20.0 + z * spacing};
                const bool ring = explanted != Explant::none && explanted != Explant::dents;
                values.push_back(static_cast<float>(ring ? signal_with_ring(c, p, blur, explanted) : signal(c, p, blur, explanted, unusual)));
            }
    return VoxelGrid(geometry, std::move(values));
}

GlobeFit rough_start(const Contrast& contrast) {
    const double surroundings = std::abs(contrast.fat - contrast.vitreous);
    // A millimetre and a half off, a millimetre too large.
    return {true_centre + PatientVector{0.9, 0.9, -0.8}, SmoothRadius({radius_mm + 1.0}, anterior), contrast.vitreous, 0.01 * surroundings, surroundings, 1.0, 0.3, 0.8};
}

// The target set for this program: 0.2 mm in thin slices.
constexpr double target_mm = 0.2;

class Walls : public ::testing::TestWithParam<std::tuple<Contrast, double, Explant>> {};

}  // namespace

TEST_P(Walls, are_followed_from_a_rough_start) {
    const auto& [contrast, blur, explanted] = GetParam();
    const VoxelGrid grid = images(contrast, blur, explanted);
    const GlobeFit start = rough_start(contrast);
    const GlobeFit found = follow_wall(grid, contrast.modality, start, anterior);
    EXPECT_LT(length(found.centre - true_centre), target_mm);
    EXPECT_NEAR(found.radius_mm(), radius_mm, target_mm);
    EXPECT_GT(length(found.centre - start.centre), 1.0) << "it moved";
    EXPECT_GT(found.centre_uncertainty_mm, 0.0);
}

class WallsUnderAHydrogel : public ::testing::TestWithParam<Contrast> {};

TEST_P(WallsUnderAHydrogel, are_followed_away_from_it) {
    const Contrast& contrast = GetParam();
    constexpr double blur_mm = 0.7, covered_mm = 3.0 + 2.5;   // half its width, and what lies near it
    const VoxelGrid grid = images(contrast, blur_mm, Explant::hydrogel_encircles);
    const GlobeFit all = follow_wall(grid, contrast.modality, rough_start(contrast), anterior);
    WallHints hints;
    hints.covered = [](PatientVector d) { return std::abs(dot(d, anterior)) < std::sin(covered_mm / radius_mm); };
    hints.fellow_radius_mm = radius_mm + 0.1;
    const GlobeFit away = follow_wall(grid, contrast.modality, all, anterior, hints);
    EXPECT_LT(length(away.centre - true_centre), target_mm);
    EXPECT_NEAR(away.radius_mm(), radius_mm, target_mm);
    EXPECT_GT(std::abs(all.radius_mm() - radius_mm), std::abs(away.radius_mm() - radius_mm)) << "all of the wall tells less";
}

TEST(UnusualWalls, bright_layer_before_suppressed_fat_is_not_the_eye) {
    // Vitreous, sclera and fat are all dark: what is bright are the uvea and, a millimetre farther out, the layer.
    const Contrast contrast{"t1_fatsat", Modality::mr, 210, 330, 100, 180, 400};
    const VoxelGrid grid = images(contrast, 0.4, Explant::none, {.longer_mm = 0.0, .layer_mm = 1.2});
    const GlobeFit found = follow_wall(grid, contrast.modality, rough_start(contrast), anterior);
    EXPECT_LT(length(found.centre - true_centre), target_mm);
    EXPECT_NEAR(found.radius_mm(), radius_mm, target_mm);
    EXPECT_NEAR(found.outer.at(-anterior), radius_mm, target_mm);
}

TEST(UnusualWalls, long_back_is_followed_to_its_pole_and_leaves_the_centre) {
    const Contrast contrast{"t2", Modality::mr, 930, 330, 120, 450, 130};
    constexpr double longer_mm = 3.0;   // axial lengths of 26 to 30 mm are common in high myopia (common practice, no source)
    const VoxelGrid grid = images(contrast, 0.4, Explant::none, {.longer_mm = longer_mm, .layer_mm = 0.0});
    const GlobeFit found = follow_wall(grid, contrast.modality, rough_start(contrast), anterior);
    EXPECT_LT(length(found.centre - true_centre), target_mm);
    for (const double from_pole_deg : {0.0, 20.0, 40.0, 60.0, 80.0}) {
        const double a = from_pole_deg / 180.0 * 3.14159265358979;
        const PatientVector d = -anterior * std::cos(a) + PatientVector{0, 0, std::sin(a)};
        EXPECT_NEAR(found.outer.at(d) + dot(found.centre - true_centre, d), radius_mm + beyond_sphere(d, longer_mm), target_mm) << from_pole_deg;
    }
}

// The cornea stands on the circle of the limbus, 11.7 mm across (common practice, no source), wherever that lies on this eye: of a flat eye nearer to its middle.
TEST(WallHints, cornea_leaves_the_centre_of_a_flat_eye) {
    constexpr double flatter_mm = 0.5, limbus_mm = 5.85, cornea_radius_mm = 7.8, cornea_mm = 0.55, told_to_mm = 0.15;
    const double across = limbus_mm / radius_mm, limbus_from_centre_mm = radius_mm - flatter_mm * (1.0 - across * across);
    const double depth = std::sqrt(squared(limbus_from_centre_mm) - squared(limbus_mm)), front = depth - std::sqrt(squared(cornea_radius_mm) - squared(limbus_mm)) + cornea_radius_mm;
    WallHints hints;
    hints.cornea = CorneaPlace{anterior, dot(true_centre - PatientPoint{0, 0, 0}, anterior) + front - cornea_mm, told_to_mm};
    const GlobeFit fit = follow_wall(images(ct, 0.5, Explant::none, {.flatter_mm = flatter_mm}), ct.modality, rough_start(ct), anterior, hints);
    EXPECT_NEAR(dot(fit.centre - true_centre, anterior), 0.0, target_mm);
}

TEST(WallHints, a_fellow_of_another_size_does_not_change_what_the_wall_tells) {
    const Contrast contrast{"t2", Modality::mr, 930, 330, 120, 450, 130};
    const VoxelGrid grid = images(contrast, 0.4, Explant::none);
    WallHints hints;
    hints.fellow_radius_mm = radius_mm - 2.5;   // shrunken
    EXPECT_NEAR(follow_wall(grid, contrast.modality, rough_start(contrast), anterior, hints).radius_mm(), radius_mm, target_mm);
}

std::string wall_name(const ::testing::TestParamInfo<Walls::ParamType>& about) {
    const char* const explants[]{"", "_dented", "_solid_ring", "_sponge_ring"};
    return std::string(std::get<0>(about.param).name) + (std::get<1>(about.param) < 0.6 ? "_sharp" : "_blurred") + explants[static_cast<int>(std::get<2>(about.param))];
}

INSTANTIATE_TEST_SUITE_P(contrasts, Walls,
                         ::testing::Combine(::testing::Values(ct, Contrast{"t1", Modality::mr, 220, 420, 200, 1350, 500}, Contrast{"t1_fatsat_after_agent", Modality::mr, 220, 1200, 100, 110, 700},
                                                              Contrast{"t2", Modality::mr, 930, 330, 120, 450, 130}, Contrast{"t2_fatsat", Modality::mr, 930, 330, 120, 60, 130},
                                                              Contrast{"proton_density", Modality::mr, 800, 600, 250, 1000, 550}, Contrast{"flair", Modality::mr, 60, 300, 120, 700, 330}),
                                            ::testing::Values(0.4, 0.7), ::testing::Values(Explant::none, Explant::dents)),
                         wall_name);
INSTANTIATE_TEST_SUITE_P(encircled, Walls, ::testing::Combine(::testing::Values(ct), ::testing::Values(0.4, 0.7), ::testing::Values(Explant::solid_encircles, Explant::sponge_encircles)), wall_name);

INSTANTIATE_TEST_SUITE_P(contrasts, WallsUnderAHydrogel,
                         ::testing::Values(ct, Contrast{"t1", Modality::mr, 220, 420, 200, 1350, 500}, Contrast{"t2", Modality::mr, 930, 330, 120, 450, 130}),
                         [](const auto& about) { return std::string(about.param.name); });

}  // namespace perisclera
