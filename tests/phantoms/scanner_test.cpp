// SPDX-License-Identifier: Apache-2.0
// Expected values: the error function of a blurred slab, the Rayleigh mean of Rician noise without signal, the spin-echo
// equation with published relaxation times, the CT numbers asked for.
#include "phantoms/scanner.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "phantoms/ct_number.h"

namespace perisclera::phantoms {
namespace {

/// The right globe lies at the height of the middle slice.
std::string scenario_text(const std::string& elements, const std::string& series) {
    return R"({"seed": 4, "texture": 0, "patient": {"id": "T", "birth_year": 1950}, "eyes": {"right": {"globe_radius_mm": 12, "offset_mm": [0, -2, 0], "elements": [)" + elements +
           R"(]}}, "timepoints": [{"study_date": "2010-01-31", "series": [)" + series + "]}]}";
}

struct Scanned {
    VoxelGrid grid;
    PatientPoint right_centre, left_centre;
};

/// `alter` may change how the labels show before the scan.
template <class Alter>
Scanned scan(const std::string& elements, const std::string& series_text, unsigned threads, Alter alter) {
    const auto scenario = parse_scenario(scenario_text(elements, series_text));
    EXPECT_TRUE(scenario) << (scenario ? "" : scenario.error().what);
    const Timepoint& t = scenario.value().timepoints.at(0);
    const Series& series = t.series.at(0);
    const HeadModel head(t.eyes, series.gaze_deg);
    const HeadPose pose(series);
    Appearance shown = appearance(series, t.eyes);
    alter(shown);
    const auto geometry = series_geometry(series, pose);
    EXPECT_TRUE(geometry);
    return {acquire({series, head, pose, shown, scenario.value().texture, 9, 9}, geometry.value(), threads), pose.to_patient(head.placement(Eye::right).centre),
            pose.to_patient(head.placement(Eye::left).centre)};
}
Scanned scan(const std::string& elements, const std::string& series_text, unsigned threads = 1) {
    return scan(elements, series_text, threads, [](Appearance&) {});
}

struct Statistics {
    double mean, deviation;
    int count;
};
Statistics around(const VoxelGrid& grid, PatientPoint centre, double radius) {
    double sum = 0.0, squares = 0.0;
    int count = 0;
    const auto n = grid.geometry().size();
    for (int z = 0; z < n[2]; ++z)
        for (int y = 0; y < n[1]; ++y)
            for (int x = 0; x < n[0]; ++x)
                if (length(grid.geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - centre) < radius) {
                    const auto v = static_cast<double>(grid.at(x, y, z));
                    sum += v;
                    squares += v * v;
                    ++count;
                }
    const double mean = sum / count;
    return {mean, std::sqrt(squares / count - mean * mean), count};
}

const std::string small_ct = R"("kind": "ct", "field_mm": [110, 60, 20])";

TEST(Scanner, ct_numbers_and_noise_are_as_asked) {
    const Scanned s = scan("", "{" + small_ct + R"(, "noise": 10})");
    const Statistics vitreous = around(s.grid, s.right_centre + PatientVector{0, 3, 0}, 6.0);
    ASSERT_GT(vitreous.count, 1000);
    EXPECT_NEAR(vitreous.mean, tissue_ct_number(Tissue::vitreous, CtBeam(120.0)), 2.5);
    EXPECT_NEAR(vitreous.deviation, 10.0, 1.0);
    const Scanned still = scan("", "{" + small_ct + R"(, "noise": 0})");
    EXPECT_NEAR(around(still.grid, still.right_centre + PatientVector{0, 3, 0}, 6.0).deviation, 0.0, 0.01);
    const Statistics fat = around(still.grid, still.right_centre + PatientVector{0, 16, 5.5}, 1.5);
    EXPECT_NEAR(fat.mean, tissue_ct_number(Tissue::fat, CtBeam(120.0)), 1.0);  // which ct_number_test holds to published ranges
}

// A band seen on end is a slab: blurred by a Gaussian it shows erf(t / (2 sqrt(2) sigma)) of its contrast at its middle, and keeps contrast
// times thickness. For 1.2 mm full width that is 0.44 at 0.6 mm, 0.54 at 0.75 mm, 0.67 at 1.0 mm, 0.86 at 1.5 mm. The edge kernel is 1.8 times a Gaussian
// of 0.7 mm full width less 0.8 times one of 1.6 mm, so its slab is the same sum of error functions.
TEST(Scanner, a_blurred_band_keeps_contrast_times_thickness_and_shows_the_error_functions_peak) {
    struct Documented {
        std::string kernel;
        double sigma, surround, surround_sigma;
    };
    for (const auto& [kernel, sigma, surround, surround_sigma] :
         {Documented{"soft", 1.2 / 2.3548, 0.0, 1.0}, {"bone", 0.6 / 2.3548, 0.0, 1.0}, {"edge", 0.7 / 2.3548, 0.8, 1.6 / 2.3548}})
        for (const double thickness : {0.6, 0.75, 1.0, 1.5}) {
            const std::string band = R"({"material": "solid_silicone", "form": "encircling", "limbus_mm": 12.7, "width_mm": 10, "indentation_mm": 0, "thickness_mm": )" +
                                     std::to_string(thickness) + "}";
            const std::string series = R"({"kind": "ct", "noise": 0, "spacing_mm": 0.2, "slice_thickness_mm": 1.0, "slice_spacing_mm": 7, "field_mm": [100, 30, 21], "kernel": ")" + kernel + "\"}";
            const Scanned s = scan(band, series, 2, [](Appearance& shown) {
                std::fill(shown.value.begin(), shown.value.end(), 0.0f);
                shown.value.back() = 1000.0f;
            });
            // Outwards from the centre of the globe, away from the nose.
            double peak = 0.0, sum = 0.0;
            constexpr double step = 0.02;
            for (double r = 8.0; r < 17.0; r += step) {
                const double v = static_cast<double>(s.grid.sample(s.right_centre + PatientVector{-r, 0, 0}));
                peak = std::max(peak, v);
                sum += v * step;
            }
            EXPECT_NEAR(sum / 1000.0, thickness, 0.02 * thickness) << kernel << " " << thickness;
            const auto slab = [&](double deviation) { return std::erf(thickness / (2.0 * std::sqrt(2.0) * deviation)); };
            EXPECT_NEAR(peak / 1000.0, (1.0 + surround) * slab(sigma) - surround * slab(surround_sigma), 0.02) << kernel << " " << thickness;
        }
}

TEST(Scanner, mr_shows_the_spin_echo_equation_and_rician_noise) {
    const Scanned s = scan("", R"({"kind": "t2", "noise": 30, "field_mm": [110, 66, 20]})");
    // Aqueous and vitreous at 1.5 T: T1 some 4600 ms, T2 450 ms (Patz 2007 gives 5053 and 450 pooled); 2000 is fully relaxed water.
    // Recovery starts after the last of 15 echoes, 10 ms apart.
    const double expected = 2000.0 * (1.0 - std::exp(-(4000.0 - 150.0) / 4600.0)) * std::exp(-100.0 / 450.0);
    EXPECT_NEAR(around(s.grid, s.right_centre + PatientVector{0, 3, 0}, 6.0).mean, expected, 0.01 * expected);
    // Air well in front of the face, the first columns of pixels: the mean of a Rayleigh distribution.
    double sum = 0.0;
    const auto n = s.grid.geometry().size();
    for (int z = 0; z < n[2]; ++z)
        for (int x = 0; x < 20; ++x) sum += static_cast<double>(s.grid.at(x, 2, z));
    EXPECT_NEAR(sum / (n[2] * 20), 30.0 * std::sqrt(pi / 2.0), 3.0);
}

// The trade's table of signs: hydrogel swollen dark on T1, bright on T2; silicone dark on both, dense as rubber, airy as sponge on CT.
TEST(Scanner, materials_show_the_signs_of_the_trade) {
    const std::string place = R"("form": "segmental", "from_hour": 7.5, "to_hour": 10.5, "limbus_mm": 12, "width_mm": 8, "thickness_mm": 6)";
    const auto middle = [&](const std::string& material, const std::string& kind) {
        const Scanned s = scan("{" + material + ", " + place + "}", R"({"noise": 0, "field_mm": [110, 40, 20], "slice_thickness_mm": 1.5, "kind": ")" + kind + "\"}");
        return around(s.grid, s.right_centre + PatientVector{-15.0, 0, 0}, 1.2).mean;
    };
    const auto vitreous = [&](const std::string& kind) {
        const Scanned s = scan("", R"({"noise": 0, "field_mm": [110, 40, 20], "kind": ")" + kind + "\"}");
        return around(s.grid, s.right_centre, 3.0).mean;
    };
    const std::string solid = R"("material": "solid_silicone")", sponge = R"("material": "silicone_sponge")";
    const std::string swollen = R"("material": "hydrogel", "water_fraction": 0.9)", as_sold = R"("material": "hydrogel", "water_fraction": 0.15)";
    EXPECT_NEAR(middle(solid, "ct"), 200.0, 4.0);
    EXPECT_NEAR(middle(sponge, "ct"), -550.0, 6.0);
    EXPECT_NEAR(middle(swollen, "ct"), 24.0, 2.0);
    EXPECT_NEAR(middle(as_sold, "ct"), 149.0, 3.0);
    for (const std::string& dark : {solid, sponge, as_sold}) EXPECT_LT(middle(dark, "t2"), 0.1 * vitreous("t2"));
    EXPECT_GT(middle(swollen, "t2"), 0.6 * vitreous("t2"));
    // Edges ring: beyond the first lobes the integral of a sinc is off by 1 / (pi^2 n) at n pixels. The fat beside the element is 3 mm away,
    // less the radius looked at; its T1 signal is 250 ms' share of a repetition time of 520 ms.
    const double ringing = 2000.0 * 0.9 * (1.0 - std::exp(-(520.0 - 12.0) / 250.0)) / (pi * pi * (3.0 - 1.2) / 0.55);
    EXPECT_LT(middle(solid, "t1"), 0.1 * vitreous("t1") + ringing);
}

TEST(Scanner, an_element_lies_in_its_own_eye_at_its_own_hour_in_every_plane) {
    for (const std::string plane : {"axial", "coronal", "sagittal"}) {
        const std::string temporal = R"({"material": "solid_silicone", "form": "segmental", "from_hour": 8, "to_hour": 10, "limbus_mm": 12, "width_mm": 6, "thickness_mm": 3})";
        const Scanned s = scan(temporal, R"({"kind": "ct", "noise": 0, "spacing_mm": 0.8, "slice_thickness_mm": 1.0, "pose_deg": [4, -3, 5], "field_mm": [110, 50, 40], "plane": ")" + plane + "\"}", 2,
                               [](Appearance& shown) {
                                   std::fill(shown.value.begin(), shown.value.end(), 0.0f);
                                   shown.value.back() = 1000.0f;
                               });
        // Centroid of all that is bright: outside the right globe, away from the left one.
        PatientVector sum{0, 0, 0};
        double weight = 0.0;
        const auto n = s.grid.geometry().size();
        for (int z = 0; z < n[2]; ++z)
            for (int y = 0; y < n[1]; ++y)
                for (int x = 0; x < n[0]; ++x) {
                    const double v = static_cast<double>(s.grid.at(x, y, z));
                    sum = sum + (s.grid.geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - s.right_centre) * v;
                    weight += v;
                }
        ASSERT_GT(weight, 0.0);
        const PatientVector centroid = sum / weight, away_from_left = unit(s.right_centre - s.left_centre);
        EXPECT_LT(centroid.x, -10.0) << plane;
        EXPECT_GT(dot(centroid, away_from_left), 0.9 * length(centroid)) << plane;
    }
}

TEST(Scanner, the_image_does_not_depend_on_the_number_of_threads) {
    const std::string series = R"({"kind": "ct", "field_mm": [60, 30, 20]})";
    EXPECT_EQ(scan("", series, 1).grid.values(), scan("", series, 3).grid.values());
}

}  // namespace
}  // namespace perisclera::phantoms
