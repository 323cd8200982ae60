// SPDX-License-Identifier: Apache-2.0
// The Bayes-best reference against cases solved by hand, and against the draws that it is to be best on.
#include "best_opinion.h"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "calibration.h"
#include "phantoms/mr_protocol.h"

namespace perisclera::material_sweep {

constexpr std::size_t solid = 0, sponge = 1, gel = 2, none = 3;

Conditions conditions(const std::string& series) {
    Conditions c{};
    c.series = series;
    c.kvp = 120.0;
    c.slice_mm = 3.0;
    c.t1 = phantoms::usual_mr_setting(phantoms::Kind::t1);
    c.t2 = phantoms::usual_mr_setting(phantoms::Kind::t2);
    c.ct_uncertainty = 10.0;
    c.ratio_uncertainty = 0.1;
    c.thickness_uncertainty = 0.2;
    c.wall_uncertainty = 0.3;
    return c;
}

const BodyKind& kind_named(const std::string& name, double least_thickness = 0.0) {
    for (const BodyKind& kind : body_kinds())
        if (kind.name == name && kind.thickness_mm[0] >= least_thickness) return kind;
    throw std::runtime_error(name);
}

double density_at_mean(double sd) { return 1.0 / (sd * std::sqrt(2.0 * std::numbers::pi)); }

TEST(BestOpinion, without_readings_is_the_shares_that_are_drawn) {
    TrueSignals signals;
    const PerClass p = best_opinion(conditions("CT"), {}, signals);
    for (std::size_t m = 0; m < p.size(); ++m) EXPECT_NEAR(p[m], prior_share[m], 1e-12);
}

// Spans are even over their ranges: at 3.4 hours, far from their ends, tires have a density of 1/10 (2 to 12), rods 1/3 (2 to 5), sponges 1/3.5 (1 to 4.5), hydrogels 1/2.5
// (2 to 4.5), plates 1/2 (2 to 4), bands none; by shares of 0.4, 0.2 and 0.08 within their classes. Soft tissue and abscess, 1 to 3 hours, add less than 2 % of their 0.34/2.
TEST(BestOpinion, of_a_span_alone_is_reckoned_by_hand) {
    TrueSignals signals;
    const PerClass p = best_opinion(conditions("CT"), {{EvidenceKind::fits_wall, 0, 3.4, span_uncertainty}}, signals);
    const PerClass weight{prior_share[solid] * (0.4 / 10.0 + 0.2 / 3.0), prior_share[sponge] / 3.5, prior_share[gel] / 2.5, prior_share[none] * 0.08 / 2.0};
    const double sum = weight[0] + weight[1] + weight[2] + weight[3];
    for (std::size_t m = 0; m < p.size(); ++m) EXPECT_NEAR(p[m], weight[m] / sum, 0.003);
}

// At 120 kVp a filled silicone shows what it is known by: normal of 45 HU about 191, cut at 112 and 271, where Phi(1.778) - Phi(-1.756) = 0.9228 lie (tables). Read at 191 with
// 10 HU, the density is the normal one of the sum of variances, over that share.
TEST(Likelihood, of_a_ct_number_is_the_convolution_of_two_normals) {
    TrueSignals signals;
    const double seen = likelihood(kind_named("solid silicone", 2.0), false, conditions("CT"), {{EvidenceKind::ct_number, 0, 191.0, 10.0}}, signals);
    EXPECT_NEAR(seen, density_at_mean(std::hypot(45.0, 10.0)) / 0.9228, 5e-5);
}

// Between slices that are very thin nothing is diluted; a cyst's ratio differs by 15 % between cysts and 3 % by the field.
TEST(Likelihood, of_a_ratio_has_the_spread_that_it_is_drawn_with) {
    TrueSignals signals;
    Conditions c = conditions("T2");
    c.slice_mm = 0.01;
    const double ratio = ratio_to_vitreous(phantoms::Tissue::fluid, c.t2);
    const double seen = likelihood(kind_named("cyst"), false, c, {{EvidenceKind::t2_ratio, 0, ratio, 0.1}}, signals);
    EXPECT_NEAR(seen, density_at_mean(std::hypot(ratio * std::hypot(0.15, 0.03), 0.1)), 1e-6);
}

// A peak needs a layer brighter than 90 HU, whichever share of it is seen.
TEST(Likelihood, of_a_peak_is_none_for_what_is_dark) {
    TrueSignals signals;
    const std::vector<Reading> peak{{EvidenceKind::ct_peak, 0, 110.0, 12.0}};
    EXPECT_EQ(likelihood(kind_named("sponge"), false, conditions("CT"), peak, signals), 0.0);
    EXPECT_GT(likelihood(kind_named("solid silicone"), false, conditions("CT"), peak, signals), 0.0);
}

// What is best on the draws keeps its probabilities on them: of 600 about as many lead right as it states. Drawing and integrating are two pieces of code.
TEST(BestOpinion, keeps_its_probabilities_on_what_it_is_best_on) {
    TrueSignals signals;
    double stated = 0.0, variance = 0.0;
    int right = 0;
    std::vector<StatedCase> cases;
    for (int number = 0; number < 600; ++number) {
        const DrawnMeasurement drawn = draw_measurement(77, number, signals);
        const PerClass p = best_opinion(drawn.conditions, drawn.readings, signals);
        const auto lead = static_cast<std::size_t>(std::max_element(p.begin(), p.end()) - p.begin());
        cases.push_back({p[lead], lead == static_cast<std::size_t>(drawn.kind->truth)});
        stated += p[lead];
        variance += p[lead] * (1.0 - p[lead]);
        right += cases.back().right ? 1 : 0;
    }
    EXPECT_NEAR(right, stated, 3.29 * std::sqrt(variance)) << "99.9 %";
    for (const CalibrationBin& bin : binned(cases)) EXPECT_TRUE(bin.inside()) << bin.mean_stated << ": " << bin.right << " of " << bin.cases;
}

TEST(DrawnMeasurement, is_the_same_for_the_same_seed_and_number) {
    TrueSignals signals;
    const DrawnMeasurement a = draw_measurement(5, 17, signals), b = draw_measurement(5, 17, signals), c = draw_measurement(6, 17, signals);
    EXPECT_EQ(a.latent, b.latent);
    ASSERT_EQ(a.readings.size(), b.readings.size());
    for (std::size_t k = 0; k < a.readings.size(); ++k) EXPECT_EQ(a.readings[k].value, b.readings[k].value);
    EXPECT_NE(a.thickness_mm, c.thickness_mm);
}

// One in ten is a mass, a third outside, CT+T1+T2 twice as often as each other set: by the decks exactly, in whole decks.
TEST(DrawnMeasurement, strata_are_as_many_as_stated) {
    TrueSignals signals;
    int masses = 0, outside = 0;
    for (int number = 0; number < 120; ++number) {
        const DrawnMeasurement drawn = draw_measurement(3, number, signals);
        masses += drawn.conditions.mass ? 1 : 0;
        outside += drawn.outside_assumptions ? 1 : 0;
    }
    EXPECT_EQ(masses, 12);
    EXPECT_EQ(outside, 40);
}

TEST(TrueSignals, a_silicone_shows_at_120_kvp_what_it_is_known_by) {
    TrueSignals signals;
    for (const double hu : {105.0, 170.0, 288.0}) EXPECT_NEAR(signals.ct(kind_named("solid silicone"), hu, 120.0), hu, 0.1);
    EXPECT_NEAR(signals.ct(kind_named("sponge"), -555.5, 120.0), -555.5, 0.1);
}

// Air, wood and plastic have no signal; what a hydrogel swells with is fluid, and silicone is dark at these echo times (common practice, no source).
TEST(TrueSignals, ratios_are_those_of_what_is_dark_and_what_is_wet) {
    const auto t2 = phantoms::usual_mr_setting(phantoms::Kind::t2);
    EXPECT_EQ(ratio_to_vitreous(kind_named("wood_splinter"), 0.0, t2), 0.0);
    EXPECT_LT(ratio_to_vitreous(kind_named("solid silicone"), 200.0, t2), 0.01);
    EXPECT_GT(ratio_to_vitreous(kind_named("hydrogel"), 0.95, t2), 0.5);
    EXPECT_LT(ratio_to_vitreous(kind_named("hydrogel"), 0.2, t2), 0.01);
}

}  // namespace perisclera::material_sweep
