// SPDX-License-Identifier: Apache-2.0
// Change between two dates against the propagation of relative uncertainties for a quotient (JCGM 100:2008, 5.1.6) and the normal
// distribution's two-sided 95 % and 99 % points, 1.95996 and 2.57583.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/timeline/element_change.h"

namespace perisclera {

namespace {

template <class Q>
Measurement<Q> about(double value, double relative) { return Measured<Q>::from_standard_uncertainty(Q(value), Q(value * relative)); }

/// An element of this volume, its volume known to `relative`.
ElementMeasurements element(double volume, double relative) {
    return {ElementForm::segmental, about<ClockHours>(1, 0.1), about<ClockHours>(4, 0.1), about<ClockHours>(3, 0.1), 2.5,
            about<Mm>(9, 0.05), about<Mm>(14, 0.05), about<Mm>(8.8, 0.05), about<Mm>(13, 0.05),
            about<Mm3>(volume, relative), about<Mm>(18, 0.05), about<Mm>(1, 0.3), about<Mm>(10, 0.1),
            {2.5, about<Mm>(5, 0.05), about<Mm>(3, 0.05), about<Mm2>(12, 0.05), Unmeasured{"not on CT"}}, {}, 1, 1.6, 1.5};
}

}  // namespace

TEST(ElementChange, nothing_changed_is_unchanged_within_what_can_be_detected) {
    const ElementChange change = compare_elements(element(400, 0.05), element(400, 0.05), true);
    EXPECT_EQ(change.verdict, ChangeVerdict::unchanged);
    EXPECT_NEAR(change.volume.measured()->value().value(), 0.0, 1e-9);
    EXPECT_NEAR(change.largest_area.measured()->value().value(), 0.0, 1e-9);
    EXPECT_NEAR(change.largest_thickness.measured()->value().value(), 0.0, 1e-9);
    EXPECT_NEAR(change.anterior_margin_shift.measured()->value().value(), 0.0, 1e-9);
}

/// What grows by so many standard uncertainties of its logarithm.
double percent_beyond(double z, double uncertainty) { return 100.0 * (std::exp(z * uncertainty) - 1.0); }

TEST(ElementChange, the_smallest_detectable_change_is_closed_form) {
    const ElementChange same = compare_elements(element(400, 0.05), element(400, 0.05), true);
    EXPECT_NEAR(same.smallest_detectable->value(), percent_beyond(1.95996, 0.05 * std::numbers::sqrt2), 0.01);
    const ElementChange unlike = compare_elements(element(400, 0.03), element(900, 0.04), true);
    EXPECT_NEAR(unlike.smallest_detectable->value(), percent_beyond(1.95996, 0.05), 0.01) << "3 and 4 make 5, whatever the volumes";
    EXPECT_GT(*compare_elements(element(400, 0.05), element(400, 0.05), false).smallest_detectable, *same.smallest_detectable) << "two kinds of series see different edges";
}

TEST(ElementChange, doubling_is_enlargement_by_a_hundred_percent) {
    const ElementChange change = compare_elements(element(400, 0.03), element(800, 0.04), true);
    EXPECT_EQ(change.verdict, ChangeVerdict::enlarged);
    const Measured<Percent>& volume = *change.volume.measured();
    EXPECT_NEAR(volume.value().value(), 100.0, 1e-9);
    // Log-normal: twice, times and over what 1.95996 standard uncertainties of the logarithm are.
    EXPECT_NEAR(volume.low().value(), 100.0 * (2.0 * std::exp(-1.95996 * 0.05) - 1.0), 0.01);
    EXPECT_NEAR(volume.high().value(), 100.0 * (2.0 * std::exp(1.95996 * 0.05) - 1.0), 0.01);
    EXPECT_EQ(compare_elements(element(800, 0.03), element(400, 0.04), true).verdict, ChangeVerdict::shrunk);
    EXPECT_NEAR(compare_elements(element(800, 0.03), element(400, 0.04), true).volume.measured()->value().value(), -50.0, 1e-9);
}

// JCGM 100:2008, 5.2.2: of a quotient twice the correlated part of both relative uncertainties cancels.
TEST(ElementChange, what_both_dates_share_cancels) {
    const auto smallest = [](double a, double b, double shared) { return compare_elements(element(400, a), element(400, b), true, shared).smallest_detectable->value(); };
    EXPECT_NEAR(smallest(0.05, 0.05, 0.0), percent_beyond(1.95996, 0.05 * std::numbers::sqrt2), 0.01);
    EXPECT_NEAR(smallest(0.05, 0.05, 0.5), percent_beyond(1.95996, 0.05), 0.01);
    EXPECT_NEAR(smallest(0.05, 0.05, 0.98), percent_beyond(1.95996, 0.01), 0.01);
    EXPECT_NEAR(smallest(0.04, 0.08, 0.5), percent_beyond(1.95996, std::sqrt(0.0016 + 0.0064 - 0.0032)), 0.01);
    // An area is compared as before.
    const auto area = [](double shared) { return compare_elements(element(400, 0.05), element(400, 0.05), true, shared).largest_area.measured()->high().value(); };
    EXPECT_DOUBLE_EQ(area(0.0), area(0.9));
}

TEST(ElementChange, of_another_element_nothing_is_shared) {
    const auto high = [](double after, double shared) { return 1.0 + compare_elements(element(400, 0.1), element(after, 0.1), true, shared).volume.measured()->high().value() / 100.0; };
    EXPECT_NEAR(high(400, 0.98), std::exp(1.95996 * 0.1 * std::sqrt(0.04)), 1e-4);
    // Of twice the volume half is the same: three quarters of the share count, 2 (1 - 0.75 * 0.98) * 0.1^2.
    EXPECT_NEAR(high(800, 0.98), 2.0 * std::exp(1.95996 * 0.1 * std::sqrt(2.0 * (1.0 - 0.735))), 1e-4);
    EXPECT_NEAR(high(400e6, 0.98) / 1e6, std::exp(1.95996 * 0.1 * std::numbers::sqrt2), 1e-4);
}

TEST(ElementChange, no_verdict_contradicts_its_interval) {
    for (const double u : {0.05, 0.2, 0.4})
        for (const double shared : {0.0, 0.5, 0.9, 0.98})
            for (double after = 100.0; after < 1600.0; after *= 1.03) {
                const ElementChange change = compare_elements(element(400, u), element(after, u), true, shared);
                const Measured<Percent>& volume = *change.volume.measured();
                if (change.verdict == ChangeVerdict::enlarged) { EXPECT_GT(volume.low().value(), 0.0) << u << ' ' << shared << ' ' << after; }
                if (change.verdict == ChangeVerdict::shrunk) { EXPECT_LT(volume.high().value(), 0.0) << u << ' ' << shared << ' ' << after; }
                if (change.verdict != ChangeVerdict::unchanged) { EXPECT_GT(std::abs(std::log(after / 400.0)), std::log1p(change.smallest_detectable->value() / 100.0)); }
            }
}

TEST(ElementChange, no_interval_says_that_more_than_all_was_lost) {
    const ElementChange change = compare_elements(element(400, 0.6), element(300, 0.6), true);
    EXPECT_GT(change.volume.measured()->low().value(), -100.0);
    EXPECT_GT(change.largest_area.measured()->low().value(), -100.0);
}

TEST(ElementChange, forth_and_back_are_each_other_s_reciprocals) {
    const ElementChange forth = compare_elements(element(400, 0.1), element(500, 0.2), true), back = compare_elements(element(500, 0.2), element(400, 0.1), true);
    const auto ratio = [](Percent p) { return 1.0 + p.value() / 100.0; };
    EXPECT_NEAR(ratio(forth.volume.measured()->low()), 1.0 / ratio(back.volume.measured()->high()), 1e-12);
    EXPECT_NEAR(ratio(forth.volume.measured()->high()), 1.0 / ratio(back.volume.measured()->low()), 1e-12);
    EXPECT_DOUBLE_EQ(forth.smallest_detectable->value(), back.smallest_detectable->value());
}

// Just short of the 99 % point and just beyond it, growing and shrinking alike.
TEST(ElementChange, the_verdict_turns_at_99_percent) {
    const double u = 0.05 * std::numbers::sqrt2;
    const auto verdict = [&](double z) { return compare_elements(element(400, 0.05), element(400 * std::exp(z * u), 0.05), true).verdict; };
    EXPECT_EQ(verdict(2.5), ChangeVerdict::unchanged);
    EXPECT_EQ(verdict(2.65), ChangeVerdict::enlarged);
    EXPECT_EQ(verdict(-2.5), ChangeVerdict::unchanged);
    EXPECT_EQ(verdict(-2.65), ChangeVerdict::shrunk);
}

TEST(ElementChange, without_a_volume_nothing_is_compared) {
    ElementMeasurements lost = element(400, 0.05);
    lost.volume = Unmeasured{"cut by the images' end"};
    for (const auto& [before, after] : {std::pair{lost, element(400, 0.05)}, {element(400, 0.05), lost}}) {
        const ElementChange change = compare_elements(before, after, true);
        EXPECT_EQ(change.verdict, ChangeVerdict::not_comparable);
        EXPECT_FALSE(change.volume.has_value());
        EXPECT_FALSE(change.smallest_detectable.has_value());
        EXPECT_TRUE(change.largest_area.has_value()) << "what is known is still told";
    }
}

TEST(ElementChange, an_edge_nearer_to_the_limbus_has_moved_forward) {
    ElementMeasurements after = element(400, 0.05);
    after.limbus_anterior = about<Mm>(7, 0.05);
    EXPECT_NEAR(compare_elements(element(400, 0.05), after, true).anterior_margin_shift.measured()->value().value(), 2.0, 1e-9);
}

TEST(LikelySame, goes_by_place_across_twelve_o_clock_and_by_going_all_round) {
    const auto at = [](double hour, double polar) {
        ElementMeasurements m = element(400, 0.05);
        m.middle_clock_hour = hour;
        m.middle_polar = polar;
        return m;
    };
    EXPECT_TRUE(likely_same(at(11.6, 1.6), at(0.5, 1.7), 12.2));
    EXPECT_FALSE(likely_same(at(2.0, 1.6), at(5.0, 1.6), 12.2));
    EXPECT_FALSE(likely_same(at(2.0, 1.2), at(2.0, 2.0), 12.2)) << "9.8 mm apart along the meridian";
    ElementMeasurements ring = at(3.0, 1.6), other_ring = at(8.0, 1.6);
    ring.form = other_ring.form = ElementForm::encircling;
    EXPECT_TRUE(likely_same(ring, other_ring, 12.2)) << "a ring's middle hour means nothing";
}

}  // namespace perisclera
