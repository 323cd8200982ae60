// SPDX-License-Identifier: Apache-2.0
// What of a report counts as said of a body.
#include "image_outcome.h"

#include <gtest/gtest.h>

namespace perisclera::material_sweep {

using nlohmann::json;

json quantity(double value) { return {{"value", value}, {"ci95", {value - 0.1, value + 0.1}}}; }

json said_element(double from, double span, std::array<double, 4> p, const std::string& label, std::vector<std::string> candidates) {
    return {{"clock_hours", {{"from", quantity(from)}, {"span_hours", quantity(span)}}},
            {"material", {{"label", label}, {"candidates", candidates}, {"most_informative_next", "t2"}, {"water_fraction", {{"value", nullptr}, {"why", "hydrogel only"}}},
                          {"probabilities", {{"solid_silicone", p[0]}, {"silicone_sponge", p[1]}, {"hydrogel", p[2]}, {"other", p[3]}}}}}};
}

json visit(const json& right, const json& left) { return {{"timepoints", json::array({{{"eyes", {{"right", right}, {"left", left}}}}})}}; }
json report(const json& right, const json& left) { return visit({{"elements", right}}, {{"elements", left}}); }

const DrawnBodies patient{4, R"({"eyes": {"right": {"elements": [{"hu_at_120_kvp": 150}]}, "left": {"look_alikes": [{}]}}})", "CT", {"solid tire", "abscess"}, false};

/// A tire from 2 to 5 o'clock in the right eye, an abscess towards 9 o'clock of the left, where its nose is.
json truth() {
    return visit({{"elements", json::array({{{"material", "solid_silicone"}, {"clock_hours", {{"from", 2.0}, {"span_hours", 3.0}}}, {"largest_section", {{"thickness_mm", 2.2}}}}})}},
                 {{"elements", json::array()}, {"look_alikes", json::array({{{"kind", "abscess"}, {"from_globe_mm", {-14.0, 3.0, 0.5}}}})}});
}

TEST(ImageOutcome, takes_the_element_at_the_place_and_no_other) {
    const auto bodies = compare(patient, report({said_element(8.0, 3.0, {0.0, 1.0, 0.0, 0.0}, "silicone_sponge", {"silicone_sponge"}),
                                                 said_element(2.5, 2.4, {0.6, 0.0, 0.4, 0.0}, "undetermined", {"solid_silicone", "hydrogel"})}, json::array()), truth());
    ASSERT_EQ(bodies.size(), 2u);
    const JudgedBody& tire = bodies[0];
    ASSERT_TRUE(tire.found);
    EXPECT_FALSE(tire.label);
    EXPECT_TRUE(tire.leads_right());
    EXPECT_TRUE(tire.lists(MaterialClass::hydrogel) && tire.lists(MaterialClass::solid_silicone) && !tire.lists(MaterialClass::silicone_sponge));
    EXPECT_EQ(tire.next, "t2");
    EXPECT_EQ(tire.thickness_mm, 2.2);
    EXPECT_TRUE(tire.lightly_filled());
    EXPECT_FALSE(tire.water);
    EXPECT_FALSE(tire.cautioned) << "the report has no cautions";
    EXPECT_FALSE(bodies[1].found);
    EXPECT_EQ(bodies[1].truth, MaterialClass::other);
}

TEST(ImageOutcome, of_what_imitates_the_worst_that_is_said_at_its_place_counts) {
    json sure = said_element(8.0, 2.0, {0.1, 0.0, 0.8, 0.1}, "undetermined", {"hydrogel"});
    sure["material"]["cautions"] = json::array({{{"code", "infection_not_excluded"}, {"text", ""}}});
    const auto bodies = compare(patient, report(json::array(), {said_element(7.5, 2.0, {0.0, 0.0, 0.2, 0.8}, "undetermined", {"other"}), sure,
                                                                said_element(2.0, 2.0, {1.0, 0.0, 0.0, 0.0}, "solid_silicone", {"solid_silicone"})}), truth());
    EXPECT_FALSE(bodies[0].found) << "that is the other eye";
    ASSERT_TRUE(bodies[1].found);
    EXPECT_EQ(bodies[1].largest_of_explants(), 0.8);
    EXPECT_EQ(bodies[1].cautioned, true);
    EXPECT_FALSE(bodies[1].leads_right());
}

}  // namespace perisclera::material_sweep
