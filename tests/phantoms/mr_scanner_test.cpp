// SPDX-License-Identifier: Apache-2.0
// Expected values: the displacement that a frequency makes at a bandwidth; the places of ghosts; which of two voids of gas is the larger.
#include "phantoms/mr_scanner.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "phantoms/mr_tissue.h"

namespace perisclera::phantoms {
namespace {

constexpr const char* temporal =
    R"({"material": "silicone_sponge", "form": "segmental", "from_hour": 8, "to_hour": 10, "limbus_mm": 12, "width_mm": 5, "thickness_mm": 4})";

/// One series of a patient with one element at the right eye's temporal side. `alter` may change how the labels show before the scan.
template <class Alter>
VoxelGrid scan(const std::string& element, const std::string& series_text, Alter alter, unsigned threads = 2) {
    const auto scenario = parse_scenario(
        R"({"seed": 4, "texture": 0, "patient": {"id": "T", "birth_year": 1950}, "eyes": {"right": {"offset_mm": [0, -2, 0], "elements": [)" +
        element + R"(]}}, "timepoints": [{"study_date": "2010-01-31", "series": [)" + series_text + "]}]}");
    EXPECT_TRUE(scenario) << (scenario ? "" : scenario.error().what);
    const Timepoint& t = scenario.value().timepoints.at(0);
    const HeadModel head(t.eyes, t.series.at(0).gaze_deg);
    const HeadPose pose(t.series.at(0));
    Appearance shown = appearance(t.series.at(0), t.eyes);
    alter(shown);
    return acquire({t.series.at(0), head, pose, shown, scenario.value().texture, 9, 9}, series_geometry(t.series.at(0), pose).value(), threads);
}

/// Only the element is seen, at the given frequency; no field but the magnet's.
auto alone(double ppm) {
    return [ppm](Appearance& shown) {
        std::fill(shown.value.begin(), shown.value.end(), 0.0f);
        std::fill(shown.susceptibility_ppm.begin(), shown.susceptibility_ppm.end(), 0.0f);
        shown.value.back() = 1000.0f;
        shown.shift_ppm.back() = static_cast<float>(ppm);
    };
}

/// Centre of all signal, pixels along x and y. Faint ringing is left out.
std::array<double, 2> centroid(const VoxelGrid& grid) {
    std::array<double, 2> sum{};
    double weight = 0.0;
    const auto n = grid.geometry().size();
    for (int z = 0; z < n[2]; ++z)
        for (int y = 0; y < n[1]; ++y)
            for (int x = 0; x < n[0]; ++x) {
                const double v = static_cast<double>(grid.at(x, y, z));
                if (v < 300.0) continue;
                sum[0] += v * x, sum[1] += v * y, weight += v;
            }
    EXPECT_GT(weight, 0.0);
    return {sum[0] / weight, sum[1] / weight};
}

// Fat's 220 Hz at 1.5 T (row 5.12 of the reference values) over the bandwidth of a pixel.
TEST(MrScanner, fat_is_displaced_along_the_frequency_direction_by_its_shift_over_the_bandwidth) {
    const auto series = [](const std::string& rest) {
        return R"({"kind": "t1", "noise": 0, "slice_spacing_mm": 4, "field_mm": [100, 60, 20], )" + rest + "}";
    };
    for (const bool rows : {true, false}) {
        const std::string direction = rows ? R"("phase_along": "row", )" : R"("phase_along": "column", )";
        const std::size_t along = rows ? 1 : 0;
        const auto still = centroid(scan(temporal, series(direction + R"("bandwidth_hz": 0)"), alone(fat_shift_ppm())));
        const auto water = centroid(scan(temporal, series(direction + R"("bandwidth_hz": 100)"), alone(0.0)));
        EXPECT_NEAR(water[0], still[0], 0.02);
        EXPECT_NEAR(water[1], still[1], 0.02);
        for (const double bandwidth : {55.0, 110.0, 220.0}) {
            const auto fat = centroid(scan(temporal, series(direction + R"("bandwidth_hz": )" + std::to_string(bandwidth)), alone(fat_shift_ppm())));
            EXPECT_NEAR(std::abs(fat[along] - still[along]), 220.0 / bandwidth, 0.02 * 220.0 / bandwidth + 0.03) << rows << " " << bandwidth;
            EXPECT_NEAR(fat[1 - along], still[1 - along], 0.03) << rows << " " << bandwidth;
        }
    }
}

// The bandwidth is that of an acquired pixel, which is as large as two of an image zero-filled to twice the matrix; 3 T doubles the shift.
TEST(MrScanner, displacement_follows_field_strength_and_acquired_pixel) {
    const auto shift = [](const std::string& rest) {
        const std::string series = R"({"kind": "t1", "noise": 0, "slice_spacing_mm": 4, "field_mm": [100, 60, 20], )" + rest;
        return std::abs(centroid(scan(temporal, series + R"(, "bandwidth_hz": 220})", alone(fat_shift_ppm())))[1] -
                        centroid(scan(temporal, series + R"(, "bandwidth_hz": 0})", alone(0.0)))[1]);
    };
    EXPECT_NEAR(shift(R"("zero_filling": 2)"), 2.0, 0.1);
    EXPECT_NEAR(shift(R"("field_strength_tesla": 3)"), 2.0, 0.1);
}

/// Everything sends the same signal but the sponge, which is dark; only its gas disturbs the field.
void sponge_in_water(Appearance& shown) {
    const float gas = shown.susceptibility_ppm.back();
    std::fill(shown.value.begin(), shown.value.end(), 1000.0f);
    for (auto* list : {&shown.unevenness, &shown.shift_ppm, &shown.susceptibility_ppm}) std::fill(list->begin(), list->end(), 0.0f);
    shown.value.back() = 0.0f;
    shown.susceptibility_ppm.back() = gas;
}
double dark_mm3(const VoxelGrid& grid) {
    const auto d = grid.geometry().spacing_mm();
    return static_cast<double>(std::count_if(grid.values().begin(), grid.values().end(), [](float v) { return v < 500.0f; })) * d[0] * d[1] * d[2];
}

// Row 5.18: gas of a sponge moves the field by up to some hundred hertz, which dephases gradient echoes about it and displaces spin echoes.
TEST(MrScanner, the_void_of_a_sponge_is_larger_than_the_sponge_on_gradient_echoes_and_grows_with_the_echo_time) {
    const auto at = [](const std::string& series) {
        return dark_mm3(scan(temporal, R"({"noise": 0, "slice_thickness_mm": 2, "field_mm": [100, 60, 24], )" + series + "}", sponge_in_water));
    };
    const double body = at(R"("kind": "t1", "bandwidth_hz": 0)"), spin = at(R"("kind": "t1")"), late = at(R"("kind": "t2_star", "echo_time_ms": 20)");
    const double dephased_early = at(R"("kind": "t2_star", "echo_time_ms": 5, "bandwidth_hz": 0)"),
                 dephased_late = at(R"("kind": "t2_star", "echo_time_ms": 20, "bandwidth_hz": 0)");
    ASSERT_GT(body, 50.0);
    EXPECT_LT(spin, 1.3 * body);
    EXPECT_GT(late, 1.5 * body);
    EXPECT_GT(late, 1.3 * spin);
    EXPECT_GT(dephased_early, body);
    EXPECT_GT(dephased_late, 1.5 * dephased_early);
}

// Displacement moves signal and destroys none.
TEST(MrScanner, a_spin_echo_keeps_the_signal_that_gas_displaces) {
    const auto total = [](const std::string& rest) {
        const VoxelGrid grid =
            scan(temporal, R"({"kind": "t1", "noise": 0, "slice_thickness_mm": 2, "field_mm": [100, 60, 24], )" + rest + "}", sponge_in_water);
        double sum = 0.0;
        // Beyond the field the object fades, so its outermost pixels exchange signal with what is not shown.
        for (const float v : grid.values()) sum += static_cast<double>(v);
        return sum;
    };
    const double still = total(R"("bandwidth_hz": 0)"), displaced = total(R"("bandwidth_hz": 60)");
    EXPECT_NEAR(displaced, still, 0.003 * still);
}

// Eyes that swing m times while the lines are taken leave ghosts m pixels away along the phase direction, and none without swinging.
TEST(MrScanner, swinging_eyes_leave_ghosts_along_the_phase_direction) {
    const auto series = [](const std::string& rest) {
        return R"({"kind": "t1", "noise": 0, "bandwidth_hz": 0, "phase_along": "column", "field_mm": [110, 90, 20])" + rest + "}";
    };
    const VoxelGrid still = scan(temporal, series(""), alone(0.0)),
                    moved = scan(temporal, series(R"(, "eye_motion_mm": 0.8, "eye_motion_cycles": 50)"), alone(0.0));
    const auto middle = centroid(still);
    const auto brightest = [&](const VoxelGrid& grid, int away) {
        float highest = 0.0f;
        for (int x = 0; x < still.geometry().size()[0]; ++x)
            highest = std::max(highest, grid.at(x, static_cast<int>(std::lround(middle[1])) + away, still.geometry().size()[2] / 2));
        return static_cast<double>(highest);
    };
    EXPECT_GT(brightest(moved, 50), 0.1 * brightest(still, 0));
    EXPECT_GT(brightest(moved, -50), 0.1 * brightest(still, 0));
    for (const int away : {-50, 25, 50}) EXPECT_LT(brightest(still, away), 0.02 * brightest(still, 0)) << away;
    EXPECT_LT(brightest(moved, 25), 0.25 * brightest(moved, 50));
}

TEST(MrScanner, the_image_does_not_depend_on_the_number_of_threads) {
    for (const std::string kind : {"t1", "t2_star"}) {
        const std::string series = R"({"field_mm": [60, 30, 20], "kind": ")" + kind + "\"}";
        EXPECT_EQ(scan(
                      temporal, series, [](Appearance&) {}, 1)
                      .values(),
                  scan(
                      temporal, series, [](Appearance&) {}, 3)
                      .values());
    }
}

}  // namespace
}  // namespace perisclera::phantoms
