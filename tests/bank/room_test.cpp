// SPDX-License-Identifier: Apache-2.0
// Elements that are drawn too thick become as thick as there is room for, to the step; the others stay.
#include "tests/bank/room.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "phantoms/element_fit.h"

namespace perisclera::bank {

using Json = nlohmann::ordered_json;

Json scenario_with(double thickness_mm) {
    Json scenario = Json::parse(R"({"seed": 1, "patient": {"id": "A", "birth_year": 1950}, "eyes": {"right": {"elements": [
        {"material": "hydrogel", "form": "encircling", "limbus_mm": 12, "width_mm": 8, "thickness_mm": 1, "water_fraction": 0.8}]}},
        "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct"}]}]})");
    scenario["eyes"]["right"]["elements"][0]["thickness_mm"] = thickness_mm;
    return scenario;
}
double thickness_of(const std::string& scenario) { return Json::parse(scenario)["eyes"]["right"]["elements"][0]["thickness_mm"]; }
bool fits(const Json& scenario) { return bool(phantoms::elements_fit(phantoms::parse_scenario(scenario.dump()).value())); }

TEST(Room, a_thick_element_becomes_as_thick_as_fits_to_the_step_of_a_fifth_of_a_millimetre) {
    const double drawn = 12.0;
    ASSERT_FALSE(fits(scenario_with(drawn)));
    const double left = thickness_of(with_room(scenario_with(drawn).dump()));
    EXPECT_TRUE(fits(scenario_with(left)));
    EXPECT_FALSE(fits(scenario_with(left + 0.2)));
    EXPECT_LT(left, drawn);
}

TEST(Room, what_fits_stays_as_it_is) {
    const Json scenario = scenario_with(1.0);
    ASSERT_TRUE(fits(scenario));
    EXPECT_EQ(with_room(scenario.dump()), scenario.dump());
}

}  // namespace perisclera::bank
