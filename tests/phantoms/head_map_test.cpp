// SPDX-License-Identifier: Apache-2.0
// A map of a head against the head itself looked at without one, and arithmetic against the standard library's.
#include <gtest/gtest.h>

#include <random>

#include "phantoms/drawn_anatomy.h"
#include "phantoms/head_map.h"
#include "phantoms/interpolation.h"
#include "phantoms/scenario.h"
#include "scenario_variants.h"

namespace perisclera::phantoms {
namespace {

/// Of points over the field of both orbits and close to its globes, how many have another label in the map than in the head.
int unlike(const HeadModel& head, int points, std::uint32_t seed) {
    const HeadMap map(head);
    std::mt19937 random(seed);
    const auto between_mm = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
    int count = 0;
    for (int i = 0; i < points; ++i) {
        const HeadPoint anywhere{between_mm(-100.0, 100.0), between_mm(-40.0, 110.0), between_mm(-80.0, 90.0)};
        const HeadPoint near_eye = head.placement(i % 4 == 0 ? Eye::right : Eye::left).centre + HeadVector{between_mm(-22, 22), between_mm(-22, 35), between_mm(-22, 22)};
        const HeadPoint p = i % 2 == 0 ? near_eye : anywhere;
        count += map.label_at(p) == head.label_at(p) ? 0 : 1;
    }
    return count;
}

TEST(HeadMap, has_the_labels_of_heads_with_every_element_and_look_alike) {
    std::uint32_t seed = 0;
    std::vector<nlohmann::json> scenarios = test::rich_scenarios();
    for (const auto& json : test::look_alike_scenarios()) scenarios.push_back(json);
    ASSERT_GT(scenarios.size(), 2u);
    for (const auto& json : scenarios) {
        const auto scenario = parse_scenario(json.dump());
        ASSERT_TRUE(scenario) << scenario.error().what;
        for (const Timepoint& visit : scenario.value().timepoints)
            EXPECT_EQ(unlike(HeadModel(visit.eyes, visit.series.at(0).gaze_deg), 60000, seed++), 0);
    }
}

TEST(HeadMap, has_the_labels_of_drawn_heads) {
    for (std::uint32_t seed = 0; seed < 10; ++seed) {
        const std::array kinds{EyeKind::usual, EyeKind::myopic, EyeKind::staphyloma, EyeKind::shrunken, EyeKind::long_eye};
        const auto eyes = drawn_eyes({seed, "O", {kinds[seed % 5], kinds[(seed + 2) % 5]}});
        EXPECT_EQ(unlike(HeadModel(eyes, {{{12.0, -8.0}, {-5.0, 10.0}}}), 60000, seed), 0);
    }
}

TEST(Interpolation, is_the_standard_librarys_bit_by_bit) {
    std::mt19937 random(1);
    std::uniform_real_distribution share(0.0, 1.0), value(-1.0, 1.0);
    const auto same = [](double a, double b, double t) { return between(a, b, t) == std::lerp(a, b, t); };
    for (int i = 0; i < 200000; ++i) {
        const double a = value(random), b = value(random), t = share(random), close = a * (1.0 + 1e-15 * value(random));
        ASSERT_TRUE(same(a, b, t) && same(a, close, t) && same(a, 0.0, t) && same(0.0, b, t) && same(a, a, t)) << a << ' ' << b << ' ' << t;
        ASSERT_TRUE(same(a, b, 0.0) && same(a, b, 1.0) && same(a, close, 1.0));
    }
}

}  // namespace
}  // namespace perisclera::phantoms
