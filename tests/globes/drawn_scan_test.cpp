// SPDX-License-Identifier: Apache-2.0
// What the globe and alignment sweeps draw: repeatable, valid, with room for every element, and every kind of eye and series often enough.
#include "drawn_scan.h"

#include <gtest/gtest.h>

#include <map>

#include "phantoms/element_fit.h"
#include "phantoms/look_alike_fit.h"
#include "strata.h"
#include "tests/bank/draw.h"
#include "true_eye.h"

#include <nlohmann/json.hpp>

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

}  // namespace perisclera::globes
