// SPDX-License-Identifier: Apache-2.0
// Truth: own calculations by another way (quality C), polymer mass conserved, dry density 1.25 g/cm3: CT number at 70 keV and volume against that as sold, by water mass fraction.
#include "perisclera/material/hydrogel_swelling.h"

#include <array>
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

namespace perisclera {

namespace {

struct State {
    double water, hu, volume, linear;
};
constexpr std::array states{State{0.15, 149, 1.0, 1.0}, State{0.30, 121, 1.26, 1.08}, State{0.50, 86, 1.84, 1.23}, State{0.70, 54, 3.2, 1.47},
                            State{0.80, 38, 4.9, 1.70}, State{0.90, 24, 10.0, 2.15}, State{0.95, 17, 20.0, 2.72}};
/// The table's volumes have two digits.
constexpr double rounding = 0.012;

constexpr OriginalSection strip{Mm(5.5), Mm(3.3)};   // one published case, Korean J Ophthalmol

Measurement<Mm2> area_at(double linear, double doubt = 0.0) { return Measured<Mm2>::from_standard_uncertainty(Mm2(5.5 * 3.3 * linear * linear), Mm2(doubt)); }

std::vector<JudgedReading> ct_number(double hu, double kvp = 120.0, EvidenceKind kind = EvidenceKind::ct_number) { return {{{kind, 0, hu, 4.0, kvp}, {}, {}}}; }

Measured<Percent> growth_to(double ratio) { return Measured<Percent>::from_standard_uncertainty(Percent(100.0 * (ratio - 1.0)), Percent(8.0 * ratio)); }

}  // namespace

TEST(HydrogelSwelling, volume_fixes_the_water_as_the_table_says) {
    for (const State& s : states) EXPECT_NEAR(water_at_swelling(s.volume).value(), s.water, rounding) << s.water;
}

TEST(HydrogelSwelling, growth_of_the_section_fixes_it_as_well) {
    for (const State& s : states) {
        const auto water = water_by_swelling(area_at(s.linear, 1.0), strip);
        ASSERT_TRUE(water.has_value());
        EXPECT_NEAR(water.measured()->value().value(), s.water, rounding) << s.water;
        EXPECT_LT(water.measured()->low().value(), water.measured()->high().value());
        // An original that filled its width and thickness as an ellipse only has swollen the more.
        const double more = s.volume * std::pow(4.0 / std::numbers::pi, 1.5);
        EXPECT_GE(water.measured()->high().value(), water_at_swelling(more).value() - rounding) << s.water;
    }
}

TEST(HydrogelSwelling, a_section_smaller_than_at_the_surgery_tells_no_water) {
    EXPECT_FALSE(water_by_swelling(area_at(0.8), strip).has_value());
    EXPECT_TRUE(water_by_swelling(area_at(0.95), strip).has_value()) << "an ellipse of that width and thickness is smaller still";
    const auto unmeasured = water_by_swelling(Unmeasured{"no edge"}, strip);
    ASSERT_NE(unmeasured.unmeasured(), nullptr);
    EXPECT_EQ(unmeasured.unmeasured()->why, "no edge");
}

TEST(HydrogelSwelling, intervals_that_do_not_meet_are_apart) {
    const auto between = [](double low, double high) { return Measurement<Fraction>(Measured<Fraction>(Fraction((low + high) / 2), Fraction(low), Fraction(high))); };
    EXPECT_TRUE(apart(between(0.3, 0.5), between(0.6, 0.8)));
    EXPECT_TRUE(apart(between(0.6, 0.8), between(0.3, 0.5)));
    EXPECT_FALSE(apart(between(0.3, 0.65), between(0.6, 0.8)));
    EXPECT_FALSE(apart(between(0.3, 0.5), Unmeasured{"not told"}));
}

// Every pair of the table's states is swelling; the same growth with the CT number left where it was is not.
TEST(HydrogelSwelling, growth_with_the_fall_that_water_brings_is_not_told_and_without_it_is) {
    for (std::size_t a = 0; a < states.size(); ++a)
        for (std::size_t b = a + 1; b < states.size(); ++b) EXPECT_FALSE(grew_without_water(growth_to(states[b].volume / states[a].volume), ct_number(states[a].hu), ct_number(states[b].hu))) << a << " to " << b;
    EXPECT_TRUE(grew_without_water(growth_to(3.2), ct_number(149), ct_number(149)));
    EXPECT_TRUE(grew_without_water(growth_to(10.0 / 3.2), ct_number(54), ct_number(54)));
    EXPECT_TRUE(grew_without_water(growth_to(4.9 / 1.84), ct_number(86), ct_number(120))) << "denser, as by calcification";
}

TEST(HydrogelSwelling, nothing_is_told_where_the_scans_do_not_tell) {
    const auto growth = growth_to(3.2);
    EXPECT_FALSE(grew_without_water(growth, ct_number(149), ct_number(149, 80.0))) << "other tube voltages";
    EXPECT_FALSE(grew_without_water(growth, ct_number(149), ct_number(149, 120.0, EvidenceKind::ct_peak))) << "a lower bound";
    EXPECT_FALSE(grew_without_water(growth, {}, ct_number(149)));
    EXPECT_FALSE(grew_without_water(growth_to(1.5), ct_number(20), ct_number(20))) << "at 92 % water the fall is smaller than the doubt";
    EXPECT_FALSE(grew_without_water(growth_to(0.7), ct_number(149), ct_number(149))) << "it has shrunk";
    EXPECT_FALSE(grew_without_water(growth, ct_number(-500), ct_number(-500))) << "gas";
}

}  // namespace perisclera
