// SPDX-License-Identifier: Apache-2.0
// Listing's law: the eye reaches every gaze by one turn about an axis in the frontal plane. Expected values are worked out here from that
// sentence: as quaternions, and as the closed form of the lean ("false torsion") for a gaze h aside and v up in Fick's coordinates,
// tan(lean) = sin h sin v / (cos h + cos v).
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "phantoms/drawn_anatomy.h"
#include "phantoms/head_model.h"
#include "phantoms/truth.h"

namespace perisclera::phantoms {
namespace {

double radians(double degrees) { return degrees * pi / 180.0; }

/// v turned by the unit quaternion (w, q): v + 2 w q x v + 2 q x (q x v).
HeadVector turned(HeadVector v, double w, HeadVector q) { return v + cross(q, v) * (2.0 * w) + cross(q, cross(q, v)) * 2.0; }

TEST(EyeTorsion, the_eye_turns_about_an_axis_in_the_frontal_plane) {
    const HeadVector ahead{0.0, -1.0, 0.0};
    for (const double h : {-30.0, -8.0, 0.0, 15.0, 30.0})
        for (const double v : {-25.0, 0.0, 4.0, 30.0}) {
            const EyePlacement eye = EyePlacement::listing({31.0, 0.0, 0.0}, h, v, 0.0);
            const HeadVector half = ahead + eye.anterior;  // twice the cosine of half the angle long
            const double w = length(half) / 2.0;
            const HeadVector axis = cross(ahead, eye.anterior) / length(half);
            EXPECT_NEAR(dot(axis, ahead), 0.0, 1e-12);
            EXPECT_NEAR(length(turned(ahead, w, axis) - eye.anterior), 0.0, 1e-12);
            EXPECT_NEAR(length(turned({0.0, 0.0, 1.0}, w, axis) - eye.superior), 0.0, 1e-12) << h << " " << v;
            EXPECT_NEAR(length(turned({1.0, 0.0, 0.0}, w, axis) - eye.towards_left), 0.0, 1e-12) << h << " " << v;
        }
}

TEST(EyeTorsion, the_lean_has_the_closed_form_of_listings_law) {
    for (const double h : {-30.0, -8.0, 0.0, 15.0, 30.0})
        for (const double v : {-25.0, 0.0, 4.0, 30.0}) {
            const double lean = std::atan(std::sin(radians(h)) * std::sin(radians(v)) / (std::cos(radians(h)) + std::cos(radians(v)))) / pi * 180.0;
            // Up and to the left the frontal axis leaves 12 o'clock leaning to the left.
            EXPECT_NEAR(EyePlacement::listing({0, 0, 0}, h, v, 0.0).lean_deg(), lean, 1e-9) << h << " " << v;
            EXPECT_NEAR(EyePlacement::looking({0, 0, 0}, h, v).lean_deg(), 0.0, 1e-9);
            EXPECT_NEAR(EyePlacement::listing({0, 0, 0}, h, v, 2.5).lean_deg(), lean + 2.5, 1e-9);
        }
}

TEST(EyeTorsion, a_drawn_eye_has_its_own_torsion_in_every_gaze) {
    const std::array<EyeState, 2> eyes = drawn_eyes({7, "F", {EyeKind::usual, EyeKind::usual}});
    const HeadModel head(eyes, {{{20.0, 20.0}, {0.0, 0.0}}});
    const double lean = std::atan(std::pow(std::sin(radians(20.0)), 2) / (2.0 * std::cos(radians(20.0)))) / pi * 180.0;
    EXPECT_NEAR(head.placement(Eye::right).lean_deg(), lean + *eyes[0].anatomy.torsion_deg, 1e-9);
    EXPECT_NEAR(head.placement(Eye::left).lean_deg(), *eyes[1].anatomy.torsion_deg, 1e-9);
}

// What truth.json says of the lean is what a reader of the images can work out from the placement of an eye's own points.
TEST(EyeTorsion, truth_tells_the_lean_in_every_series) {
    const auto scenario = parse_scenario(R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950}, "anatomy": {"seed": 7},
        "timepoints": [{"study_date": "2010-01-31", "series": [{"kind": "ct", "gaze_deg": {"right": [20, 20], "left": [0, 0]}}]}]})");
    ASSERT_TRUE(scenario);
    const Timepoint& t = scenario.value().timepoints.at(0);
    const HeadModel head(t.eyes, t.series[0].gaze_deg);
    const SeriesTruth series = series_truth(t.series[0], "1.2.3", head, HeadPose(t.series[0]));
    const double lean = std::atan(std::pow(std::sin(radians(20.0)), 2) / (2.0 * std::cos(radians(20.0)))) / pi * 180.0;
    const auto json = nlohmann::json::parse(truth_json({{t.study_date, {series}, t.eyes}}));
    const auto& point = json["timepoints"][0];
    EXPECT_NEAR(point["series"][0]["leans_deg"]["right"].get<double>(), lean + *t.eyes[0].anatomy.torsion_deg, 1e-4);
    EXPECT_NEAR(point["series"][0]["leans_deg"]["left"].get<double>(), *t.eyes[1].anatomy.torsion_deg, 1e-4);
    EXPECT_NEAR(point["eyes"]["left"]["anatomy"]["torsion_deg"].get<double>(), *t.eyes[1].anatomy.torsion_deg, 1e-4);
    EXPECT_NEAR(point["eyes"]["left"]["anatomy"]["recti"]["medial"]["insertion_mm"].get<double>(),
                t.eyes[1].anatomy.rectus(Rectus::medial).insertion_mm, 1e-4);
}

}  // namespace
}  // namespace perisclera::phantoms
