// SPDX-License-Identifier: Apache-2.0
// The patients of the material sweep: what is promised of their draw.
#include "drawn_bodies.h"

#include <map>

#include <gtest/gtest.h>

#include "drawn_body.h"
#include "perisclera/core/clock_position.h"
#include "phantoms/scenario.h"

namespace perisclera::material_sweep {

TEST(DrawnBodies, are_the_same_for_the_same_seed_and_number_and_others_for_others) {
    EXPECT_EQ(draw_bodies(1, 3).scenario, draw_bodies(1, 3).scenario);
    EXPECT_NE(draw_bodies(1, 3).scenario, draw_bodies(2, 3).scenario);
}

// Two look-alikes in each deck of 13, each kind of them once in five decks, infected sponges twice.
TEST(DrawnBodies, kinds_come_as_often_as_stated) {
    std::map<std::string, int> kinds;
    for (std::size_t slot = 0; slot < 65; ++slot) ++kinds[drawn_kind(9, slot)];
    EXPECT_EQ(kinds["sponge"], 15);
    EXPECT_EQ(kinds["solid tire"], 10);
    EXPECT_EQ(kinds["swollen hydrogel"], 10);
    EXPECT_EQ(kinds["firm hydrogel"], 5);
    EXPECT_EQ(kinds["infected sponge"], 2);
    for (const char* once : {"cyst", "wood_splinter", "scleral_plaque", "drainage_device", "oil_pocket", "fracture_plate", "abscess", "abscess with gas"}) EXPECT_EQ(kinds[once], 1) << once;
}

// The schema's own reader takes them; a segment's middle is no mirror image of the other eye's.
TEST(DrawnBodies, are_scenarios_with_a_body_in_each_eye_at_places_of_their_own) {
    int compared = 0;
    for (int number = 0; number < 12; ++number) {
        const DrawnBodies drawn = draw_bodies(4, number);
        const auto scenario = phantoms::parse_scenario(drawn.scenario);
        ASSERT_TRUE(scenario) << one_line(scenario.error());
        std::vector<ClockPosition> middles;
        for (const auto& eye : scenario.value().timepoints[0].eyes) {
            EXPECT_EQ(eye.elements.size() + eye.look_alikes.size(), 1u);
            if (eye.elements.empty() || eye.elements[0].form == phantoms::Form::encircling || eye.elements[0].form == phantoms::Form::radial) continue;
            const ClockPosition from(eye.elements[0].from_hour);
            middles.emplace_back(from.hours() + 0.5 * from.clockwise_to(ClockPosition(eye.elements[0].to_hour)).value());
        }
        if (middles.size() < 2) continue;
        ++compared;
        EXPECT_GE(middles[0].distance_to(ClockPosition(12.0 - middles[1].hours())).value(), 2.8) << "a quarter of the dial, less rounding";
    }
    EXPECT_GT(compared, 2);
}

}  // namespace perisclera::material_sweep
