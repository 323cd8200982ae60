// SPDX-License-Identifier: Apache-2.0
// Two dates of one layer. Of a layer thinner than the blur contrast times thickness is all that is told: at either date thickness is that product over the contrast, so that the ratio of
// thicknesses is the ratio of products whatever the number (closed form); of one whose number is seen each date's thickness stands as it is.
#include <cmath>

#include <gtest/gtest.h>

#include "perisclera/physics/material_table.h"
#include "perisclera/timeline/one_number.h"

namespace perisclera {

namespace {

constexpr double around_hu = -25.0;   // mean of wall and fat

/// By `product`, HU mm, known to `relative`; `seen`: the number that shows, to within `to` HU, or nothing where `to` is 0. `believed`: what the date by itself takes it for.
ThicknessByNumber layer(double product, double relative, double believed, double kvp = 120.0, double seen = 0.0, double to = 0.0) {
    ThicknessByNumber out{false, kvp, product / (believed - around_hu), 0.2, {}};
    for (double hu = 60.0; hu <= 320.0; hu += 4.0) {
        const double t = product / (hu - around_hu);
        out.at.push_back({hu, to > 0.0 ? -0.5 * std::pow((hu - seen) / to, 2) : 0.0, t, relative * t});
    }
    return out;
}

}  // namespace

TEST(UnderOneNumber, of_thin_layers_the_ratio_is_that_of_contrast_times_thickness_whatever_the_number) {
    // One date took it for 140 HU, the other for 230: by themselves they would say that it lost a third.
    const ThicknessByNumber before = layer(200.0, 0.02, 140.0), after = layer(220.0, 0.02, 230.0);
    const auto ratio = thickness_under_one_number(before, after, 0.0);
    ASSERT_TRUE(ratio.has_value());
    EXPECT_NEAR(ratio->value, std::log(1.1), 0.01);
    // The products' own 2 % each, and two scans' 10 HU of a contrast of some 216 HU (191 HU expected).
    EXPECT_NEAR(ratio->uncertainty, std::hypot(0.02 * std::sqrt(2.0), 10.0 / (solid_silicone_hu(120.0).mean - around_hu)), 0.015);
    EXPECT_LT(ratio->uncertainty, 0.5 * std::hypot(before.uncertainty_mm / before.thickness_mm, after.uncertainty_mm / after.thickness_mm)) << "far surer than both by themselves";
}

TEST(UnderOneNumber, what_is_left_of_both_errors_is_shared_as_told) {
    const auto uncertainty = [](double shared) { return thickness_under_one_number(layer(200.0, 0.1, 191.0), layer(200.0, 0.1, 191.0), shared)->uncertainty; };
    // JCGM 100:2008, 5.2.2: of two uncertainties of 10 % that correlate by r, 10 % times the root of 2 (1 - r).
    EXPECT_NEAR(std::pow(uncertainty(0.0), 2) - std::pow(uncertainty(0.9), 2), 2.0 * 0.9 * 0.01, 1e-9);
}

TEST(UnderOneNumber, what_one_date_sees_of_the_number_serves_the_other) {
    // The first date shows its number, 240 HU; the second does not. By itself the second would expect 191 and be too thick by the ratio of contrasts.
    const ThicknessByNumber before = layer(300.0, 0.01, 240.0, 120.0, 240.0, 3.0), after = layer(300.0, 0.01, 191.0);
    const auto ratio = thickness_under_one_number(before, after, 0.0);
    ASSERT_TRUE(ratio.has_value());
    EXPECT_NEAR(ratio->value, 0.0, 0.02);
    EXPECT_GT(std::log(after.thickness_mm / before.thickness_mm), 0.2) << "as both say by themselves";
}

TEST(UnderOneNumber, another_voltage_ties_less) {
    const auto uncertainty = [](double kvp) { return thickness_under_one_number(layer(200.0, 0.02, 191.0), layer(200.0, 0.02, 191.0, kvp), 0.0)->uncertainty; };
    EXPECT_GT(uncertainty(100.0), 1.5 * uncertainty(120.0));
}

TEST(UnderOneNumber, nothing_serves_two_makes) {
    ThicknessByNumber sponge = layer(200.0, 0.02, 191.0);
    sponge.sponge = true;
    EXPECT_FALSE(thickness_under_one_number(layer(200.0, 0.02, 191.0), sponge, 0.0).has_value());
    EXPECT_FALSE(thickness_under_one_number(layer(200.0, 0.02, 191.0, 120.0, 90.0, 3.0), layer(200.0, 0.02, 191.0, 120.0, 300.0, 3.0), 0.0).has_value()) << "90 and 300 HU";
}

}  // namespace perisclera
