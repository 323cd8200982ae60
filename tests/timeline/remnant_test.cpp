// SPDX-License-Identifier: Apache-2.0
// Elements cut away in part, and elements that shrank, by geometry: of a bar cut shorter volume and length lose the same share; a body that shrinks alike in all
// directions loses the third root of it in each (Euclid, Elements XI.33).
#include <cmath>

#include <gtest/gtest.h>

#include "perisclera/timeline/element_change.h"

namespace perisclera {

namespace {

template <class Q>
Measurement<Q> about(double value, double uncertainty) { return Measured<Q>::from_standard_uncertainty(Q(value), Q(uncertainty)); }

struct Bar {
    double from = 1.0, span = 4.0, volume = 400.0, thickness = 3.0, anterior = 9.0;
};

/// 3 % of volume, a tenth of an hour at each end, 0.15 mm of thickness, 0.5 mm of edges.
ElementMeasurements element(const Bar& b) {
    return {ElementForm::segmental, about<ClockHours>(b.from, 0.1), about<ClockHours>(b.from + b.span, 0.1), about<ClockHours>(b.span, 0.14), b.from + 0.5 * b.span,
            about<Mm>(b.anterior, 0.5), about<Mm>(b.anterior + 5.0, 0.5), about<Mm>(b.anterior, 0.5), about<Mm>(b.anterior + 5.0, 0.5),
            about<Mm3>(b.volume, 0.03 * b.volume), about<Mm>(18, 0.9), about<Mm>(1, 0.3), about<Mm>(10, 1),
            {2.5, about<Mm>(5, 0.25), about<Mm>(b.thickness, 0.15), about<Mm2>(12, 0.6), Unmeasured{"not on CT"}}, {}, 1, 1.6, 1.5};
}

ChangeVerdict verdict(const Bar& before, const Bar& after) { return compare_elements(element(before), element(after), true).verdict; }

const Bar whole;

}  // namespace

TEST(Remnant, of_half_the_length_and_volume_is_what_a_cut_left) {
    EXPECT_EQ(verdict(whole, {.span = 2.0, .volume = 200}), ChangeVerdict::partly_removed);
    EXPECT_EQ(verdict(whole, {.from = 3.0, .span = 2.0, .volume = 200}), ChangeVerdict::partly_removed) << "the other half";
    EXPECT_EQ(verdict({.from = 11.0}, {.from = 0.5, .span = 2.0, .volume = 200}), ChangeVerdict::partly_removed) << "across 12 o'clock";
}

TEST(Remnant, what_shrank_alike_in_all_directions_was_not_cut) {
    const double f = std::cbrt(0.5);
    EXPECT_EQ(verdict(whole, {.from = 1.0 + 2.0 * (1.0 - f), .span = 4.0 * f, .volume = 200, .thickness = 3.0 * f}), ChangeVerdict::shrunk);
}

TEST(Remnant, what_lies_elsewhere_or_became_thinner_is_none) {
    EXPECT_EQ(verdict(whole, {.from = 4.2, .span = 2.0, .volume = 200}), ChangeVerdict::shrunk) << "beyond the earlier end";
    EXPECT_EQ(verdict(whole, {.span = 2.0, .volume = 200, .anterior = 6.0}), ChangeVerdict::shrunk) << "farther forward";
    EXPECT_EQ(verdict(whole, {.span = 2.0, .volume = 200, .thickness = 2.0}), ChangeVerdict::shrunk);
    EXPECT_EQ(verdict(whole, {.span = 2.0, .volume = 330}), ChangeVerdict::shrunk) << "more volume than the length left holds";
    EXPECT_EQ(compare_elements(element(whole), element({.span = 2.0, .volume = 200}), false).verdict, ChangeVerdict::shrunk) << "two kinds of series see different ends";
}

// Whether the rest is gone or was only lost from sight, the images of both dates tell (place_left.h).
TEST(Remnant, an_arc_of_a_ring_is_what_a_cut_left_wherever_it_lies_and_a_ring_is_none) {
    ElementMeasurements ring = element({.span = 12.0}), smaller = element({.span = 12.0, .volume = 200});
    ring.form = smaller.form = ElementForm::encircling;
    EXPECT_EQ(compare_elements(ring, element({.from = 9.0, .span = 4.0, .volume = 133}), true).verdict, ChangeVerdict::partly_removed);
    EXPECT_EQ(compare_elements(ring, element({.from = 9.0, .span = 4.0, .volume = 250}), true).verdict, ChangeVerdict::shrunk) << "more volume than the length left holds";
    EXPECT_EQ(compare_elements(ring, smaller, true).verdict, ChangeVerdict::shrunk);
}

TEST(Remnant, without_a_thickness_nothing_is_told_but_that_it_shrank) {
    ElementMeasurements after = element({.span = 2.0, .volume = 200});
    after.largest_section.thickness = Unmeasured{"hidden"};
    EXPECT_EQ(compare_elements(element(whole), after, true).verdict, ChangeVerdict::shrunk);
}

}  // namespace perisclera
