// SPDX-License-Identifier: Apache-2.0
// Growth between two dates as evidence. That hydrogel swells over years and no silicone does: Retina 2003;23:257-261, doi 10.1097/00006982-200304000-00025; that the volume may grow twenty times
// over: own calculation, polymer conserved (row 1.13).
#include "src/material/growth_likelihood.h"

#include <algorithm>

#include <gtest/gtest.h>

namespace perisclera {

namespace {

Reading growth(double ratio, double uncertainty, double years) { return {.kind = EvidenceKind::growth, .series = 0, .value = ratio, .uncertainty = uncertainty, .years = years}; }
Reading ct(double hu) { return {EvidenceKind::ct_number, 0, hu, 8.0}; }
Reading t2(double ratio) { return {EvidenceKind::t2_ratio, 1, ratio, 0.1}; }
Reading thickness(double mm) { return {EvidenceKind::section_thickness, 0, mm, 0.3}; }
Reading span(double hours) { return {EvidenceKind::fits_wall, 0, hours, 0.15}; }

double probability(const MaterialOpinion& o, MaterialClass m) { return o.probability[static_cast<std::size_t>(m)]; }
MaterialOpinion judged(std::vector<Reading> readings, const Reading& more) {
    readings.push_back(more);
    return judge_material(readings);
}

}  // namespace

TEST(GrowthLikelihood, doubling_in_years_tells_swollen_hydrogel_from_pus) {
    const std::vector<Reading> readings{ct(30.0), t2(0.85), thickness(4.5), span(2.3)};
    const double before = probability(judge_material(readings), MaterialClass::hydrogel), after = probability(judged(readings, growth(2.0, 0.3, 5.0)), MaterialClass::hydrogel);
    EXPECT_LT(before, label_margin) << "pus shows so too";
    EXPECT_GT(after, 0.95);
}

TEST(GrowthLikelihood, doubling_tells_firm_hydrogel_from_light_silicone) {
    const std::vector<Reading> readings{ct(140.0), t2(0.05), thickness(3.4), span(3.0)};
    const auto odds = [](const MaterialOpinion& o) { return probability(o, MaterialClass::hydrogel) / probability(o, MaterialClass::solid_silicone); };
    EXPECT_GT(odds(judged(readings, growth(2.0, 0.2, 5.0))), 10.0 * odds(judge_material(readings)));
}

// Of those left in place most stay as they are for years: no change speaks for silicone, and not much.
TEST(GrowthLikelihood, no_change_excludes_nothing) {
    for (const MaterialClass m : {MaterialClass::solid_silicone, MaterialClass::silicone_sponge, MaterialClass::hydrogel})
        EXPECT_GT(likelihood_of_growth(growth(1.0, 0.1, 3.0), m), 0.3 * likelihood_of_growth(growth(1.0, 0.1, 3.0), MaterialClass::solid_silicone));
}

// A change that the doubt of two measurements covers tells as good as nothing.
TEST(GrowthLikelihood, what_may_be_error_of_measurement_hardly_tells) {
    const Reading doubtful = growth(1.4, 0.6, 3.0);
    const double ratio = likelihood_of_growth(doubtful, MaterialClass::hydrogel) / likelihood_of_growth(doubtful, MaterialClass::solid_silicone);
    EXPECT_GT(ratio, 1.0 / 3.0);
    EXPECT_LT(ratio, 3.0);
}

// Growing and shrinking by one factor are as far from staying the same.
TEST(GrowthLikelihood, of_silicone_halving_is_as_unlikely_as_doubling) {
    const double doubled = likelihood_of_growth(growth(2.0, 0.2, 1.0), MaterialClass::solid_silicone), halved = likelihood_of_growth(growth(0.5, 0.05, 1.0), MaterialClass::solid_silicone);
    EXPECT_NEAR(doubled / halved, 1.0, 1e-9);
}

// Pus does not lie there for years (common practice, no source); the same change within weeks may be of it.
TEST(GrowthLikelihood, pus_counts_within_weeks_and_hardly_over_years) {
    Imitation pus{LookAlike::fluid, Expected{25.0, 8.0}, {}, Imitation::OnMr::signal, {1600.0, 150.0, 0.95}};
    EXPECT_GT(likelihood_of_growth(growth(1.5, 0.15, 0.05), pus), 10.0 * likelihood_of_growth(growth(1.5, 0.15, 2.0), pus));
}

}  // namespace perisclera
