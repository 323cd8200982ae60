// SPDX-License-Identifier: Apache-2.0
// What the globe and alignment sweeps draw: repeatable, valid, with room for every element, and every kind of eye and series often enough.
#include "drawn_scan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include <nlohmann/json.hpp>

#include "phantoms/element_fit.h"
#include "phantoms/look_alike_fit.h"
#include "strata.h"
#include "tests/bank/draw.h"
#include "true_eye.h"

namespace perisclera::globes {

constexpr int patients = 160, pairs = 40;

/// Drawn once for all tests: what needs room takes time.
const std::vector<std::string>& drawn_patients() {
    static const std::vector<std::string> drawn = [] {
        std::vector<std::string> all;
        for (int number = 0; number < patients; ++number) all.push_back(draw_patient(1, number));
        return all;
    }();
    return drawn;
}

TEST(Deck, each_card_comes_once_in_each_run_and_in_another_order_in_the_next) {
    constexpr std::array cards{0, 1, 2, 3, 4, 5, 6, 7, 8, 9};
    std::vector<int> first, second;
    for (std::size_t slot = 0; slot < 10; ++slot) first.push_back(bank::dealt(cards, 7, slot)), second.push_back(bank::dealt(cards, 7, slot + 10));
    EXPECT_NE(first, second);
    for (std::vector<int>* run : {&first, &second}) {
        std::sort(run->begin(), run->end());
        EXPECT_EQ(*run, std::vector<int>(cards.begin(), cards.end()));
    }
}

TEST(DrawnScan, the_same_seed_and_number_draw_the_same_and_others_another) {
    EXPECT_EQ(draw_patient(1, 5), draw_patient(1, 5));
    EXPECT_NE(draw_patient(1, 5), draw_patient(1, 6));
    EXPECT_NE(draw_patient(1, 5), draw_patient(2, 5));
    EXPECT_EQ(draw_pair(1, 5), draw_pair(1, 5));
    EXPECT_NE(draw_pair(1, 5), draw_pair(1, 6));
}

/// As the synthesis asks for it, which refuses anything else.
void expect_room(const std::string& text) {
    auto scenario = phantoms::parse_scenario(text);
    ASSERT_TRUE(scenario) << one_line(scenario.error()) << "\n" << text;
    phantoms::Scenario filled = scenario.value();
    for (phantoms::EyeState& eye : filled.timepoints[0].eyes) eye.contents_share = 1.0;  // levels take long, and no room
    const auto elements = phantoms::elements_fit(filled), look_alikes = phantoms::look_alikes_fit(filled);
    EXPECT_TRUE(elements) << one_line(elements.error()) << "\n" << text;
    EXPECT_TRUE(look_alikes) << one_line(look_alikes.error()) << "\n" << text;
}

TEST(DrawnScan, every_patient_is_valid_and_its_elements_have_room) {
    for (const std::string& text : drawn_patients()) expect_room(text);
}

TEST(DrawnScan, every_pair_is_valid_and_its_elements_have_room) {
    for (int number = 0; number < pairs; ++number) expect_room(draw_pair(1, number));
}

TEST(DrawnScan, patients_keep_to_the_ranges_told) {
    for (const std::string& text : drawn_patients()) {
        const auto visit = phantoms::parse_scenario(text).value().timepoints[0];
        for (const phantoms::Series& s : visit.series) {
            EXPECT_GE(s.slice_thickness_mm, 0.6);
            EXPECT_LE(s.slice_thickness_mm, 5.0);
            for (const double angle : s.pose_deg) EXPECT_LE(std::abs(angle), 30.0);
            for (const auto& gaze : s.gaze_deg) EXPECT_LE(std::hypot(gaze[0], gaze[1]), 25.0);
        }
    }
}

TEST(DrawnScan, pairs_turn_head_and_eyes_as_far_as_told_and_some_of_them_nearly_so) {
    double head = 0.0, eyes = 0.0;
    for (int number = 0; number < pairs; ++number) {
        const auto series = phantoms::parse_scenario(draw_pair(1, number)).value().timepoints[0].series;
        // The trace of the turn between two triads is 1 + 2 cos(angle).
        const phantoms::HeadPose a(series[0]), b(series[1]);
        double trace = 0.0;
        for (const phantoms::HeadVector axis : {phantoms::HeadVector{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}) trace += dot(a.to_patient(axis), b.to_patient(axis));
        head = std::max(head, std::acos((trace - 1.0) / 2.0) * 180.0 / phantoms::pi);
        for (const std::size_t eye : {0u, 1u})
            eyes = std::max(eyes, std::hypot(series[0].gaze_deg[eye][0] - series[1].gaze_deg[eye][0], series[0].gaze_deg[eye][1] - series[1].gaze_deg[eye][1]));
    }
    EXPECT_LE(head, 30.0);
    EXPECT_GE(head, 25.0);
    EXPECT_LE(eyes, 25.0);
    EXPECT_GE(eyes, 17.0);
}

/// Rows of which the images hold enough, by stratum.
std::map<Stratum, int> strata_sizes() {
    std::map<Stratum, int> sizes;
    for (const std::string& text : drawn_patients()) {
        const auto visit = phantoms::parse_scenario(text).value().timepoints[0];
        const auto anatomy = nlohmann::json::parse(text)["anatomy"];
        for (const phantoms::Series& series : visit.series)
            for (const Eye eye : both_eyes) {
                const auto truth = true_eye(visit, series, eye);
                const auto images = series_geometry(series, phantoms::HeadPose(series));
                if (!truth || share_held(*truth, images.value()) < 0.7) continue;
                for (const Stratum& s : strata_of(visit, series, eye, anatomy[std::string(name(eye))])) ++sizes[s];
            }
    }
    return sizes;
}

TEST(DrawnScan, every_stratum_has_enough_members) {
    // A percentile of fewer says nothing.
    constexpr int fewest = 12;
    const std::map<std::string, std::vector<std::string>> wanted{
        {"slices", {"0.6 to 1.5 mm", "2 to 3 mm", "4 to 5 mm"}},
        {"contrast", {"CT soft", "CT bone", "t1", "t1_fatsat", "t1_contrast", "t1_contrast_fatsat", "t1_prepared", "t1_gradient_echo", "pd", "t2", "t2_fatsat", "stir", "flair"}},
        {"plane", {"axial", "coronal", "sagittal", "oblique", "gantry tilted"}},
        {"build", {"usual", "short", "long", "myopic", "staphyloma", "shrunken"}},
        {"lens", {"natural", "implant", "none"}},
        {"contents", {"vitreous", "silicone_oil", "silicone_oil, partly", "gas", "gas, partly", "haemorrhage", "haemorrhage, partly"}},
        {"explant", {"none", "band", "band with clip", "tire", "sponge segmental", "sponge radial", "sponge encircling", "sponge and band", "hydrogel segmental", "hydrogel irregular", "hydrogel encircling"}},
        {"muscles", {"usual", "thickened"}},
        {"beside", {"a globe", "orbital_sphere", "empty_socket"}},
        {"head turned", {"0 to 8 degrees", "8 to 15 degrees", "more than 15 degrees"}},
        {"gaze", {"0 to 8 degrees", "8 to 16 degrees", "more than 16 degrees"}}};
    auto sizes = strata_sizes();
    for (const auto& [division, parts] : wanted)
        for (const std::string& part : parts) EXPECT_GE((sizes[{division, part}]), fewest) << division << ": " << part;
}

TEST(DrawnScan, at_least_300_eyes_are_drawn_and_some_patients_have_one) {
    int eyes = 0;
    for (const std::string& text : drawn_patients()) {
        const auto visit = phantoms::parse_scenario(text).value().timepoints[0];
        for (const phantoms::EyeState& eye : visit.eyes) eyes += !without_globe(eye.look_alikes);
    }
    EXPECT_GE(eyes, 300);
    EXPECT_LT(eyes, 2 * patients);
}

}  // namespace perisclera::globes
