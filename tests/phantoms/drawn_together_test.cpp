// SPDX-License-Identifier: Apache-2.0
// Series that are drawn at once, against the same series drawn one by one.
#include <gtest/gtest.h>

#include <string>

#include "phantoms/scanner.h"

namespace perisclera::phantoms {
namespace {

/// One series of a patient with a sponge, and what a scan of it refers to.
struct Seen {
    Scenario scenario;
    HeadPose pose{series()};
    HeadModel head{visit().eyes, series().gaze_deg, pose.down()};
    Appearance shown = appearance(series(), visit().eyes);

    explicit Seen(const std::string& series_text)
        : scenario(parse_scenario(
                       R"({"seed": 4, "patient": {"id": "T", "birth_year": 1950}, "eyes": {"right": {"elements": [{"material": "silicone_sponge", "form": "segmental",
                       "from_hour": 8, "to_hour": 10, "limbus_mm": 12, "width_mm": 5, "thickness_mm": 4}]}}, "timepoints": [{"study_date": "2010-01-31", "series": [{)" +
                       series_text + "}]}]}")
                       .value()) {}
    [[nodiscard]] const Timepoint& visit() const { return scenario.timepoints.at(0); }
    [[nodiscard]] const Series& series() const { return visit().series.at(0); }
    [[nodiscard]] Scan scan(std::uint64_t noise_key) const { return {series(), head, pose, shown, scenario.texture, noise_key, 7}; }
    [[nodiscard]] VolumeGeometry geometry() const { return series_geometry(series(), pose).value(); }
};

const std::string small = R"("slice_spacing_mm": 8, "field_mm": [110, 60, 20], )";

TEST(DrawnTogether, series_are_the_same_as_drawn_one_by_one) {
    for (const std::string& place : {small, small + R"("phase_along": "column", "pose_deg": [4, -3, 6], )", small + R"("plane": "coronal", "eye_motion_mm": 0.6, )"}) {
        const std::array<Seen, 4> seen{Seen(place + R"("kind": "t1")"), Seen(place + R"("kind": "t2", "noise": 30)"), Seen(place + R"("kind": "t1_contrast_fatsat")"),
                                       Seen(place + R"("kind": "stir")")};
        std::vector<Scan> together;
        for (const Seen& one : seen) together.push_back(one.scan(together.size()));
        for (const Scan& scan : together) ASSERT_TRUE(drawn_together(together.front(), scan));
        const auto grids = acquire_together(together, seen[0].geometry(), 2);
        ASSERT_EQ(grids.size(), together.size());
        for (std::size_t s = 0; s < grids.size(); ++s) EXPECT_TRUE(grids[s].values() == acquire(together[s], seen[s].geometry(), 1).values()) << place << s;
        EXPECT_FALSE(grids[0].values() == grids[1].values());
    }
}

TEST(DrawnTogether, are_only_spin_echoes_of_one_place_that_are_displaced_alike) {
    const Seen t1(small + R"("kind": "t1")");
    const auto with_t1 = [&](const std::string& series) { return drawn_together(t1.scan(1), Seen(small + series).scan(2)); };
    EXPECT_TRUE(with_t1(R"("kind": "t2")"));
    for (const char* other : {R"("kind": "ct")", R"("kind": "t2_star")", R"("kind": "t1_gradient_echo")", R"("kind": "t2", "plane": "coronal")", R"("kind": "t2", "tilt_deg": [1, 0])",
                              R"("kind": "t2", "spacing_mm": 0.6)", R"("kind": "t2", "slice_thickness_mm": 2)", R"("kind": "t2", "pose_deg": [0, 0, 1])",
                              R"("kind": "t2", "shift_mm": [0, 1, 0])", R"("kind": "t2", "gaze_deg": {"right": [1, 0]})", R"("kind": "t2", "bandwidth_hz": 200)",
                              R"("kind": "t2", "field_strength_tesla": 3)", R"("kind": "t2", "phase_along": "column")", R"("kind": "t2", "zero_filling": 2)",
                              R"("kind": "t2", "eye_motion_mm": 1)"})
        EXPECT_FALSE(with_t1(other)) << other;
    const Seen echo(small + R"("kind": "t2_star")");
    EXPECT_FALSE(drawn_together(echo.scan(1), echo.scan(2)));
}

}  // namespace
}  // namespace perisclera::phantoms
