// SPDX-License-Identifier: Apache-2.0
// Sectors of a shell, drawn, of which one date shows a whole and another its pieces; and sums against the propagation of uncertainties (JCGM 100:2008, 5.1.2 of independent errors,
// 5.2.2 note 1 of errors that are the same).
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/timeline/pieces.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double degrees = std::numbers::pi / 180.0, z95 = 1.95996;

FoundElement arc(double from, double span, double nearest_deg = 70.0, double farthest_deg = 90.0) {
    return test::element_of({from, span, nearest_deg * degrees, farthest_deg * degrees, 0.0, 2.0}, Appearance::ct_bright, 190.0, -90.0);
}

template <class Q>
Measurement<Q> about(double value, double uncertainty) { return Measured<Q>::from_standard_uncertainty(Q(value), Q(uncertainty)); }

/// A piece of this volume and length with the standard uncertainties given.
ElementMeasurements piece(double volume, double of_volume, double length, double of_length, double anterior = 9.0, double area = 12.0) {
    return {ElementForm::segmental, about<ClockHours>(1, 0.1), about<ClockHours>(4, 0.1), about<ClockHours>(3, 0.1), 2.5, about<Mm>(anterior, 0.5), about<Mm>(anterior + 5.0, 0.5), about<Mm>(anterior, 0.5),
            about<Mm>(anterior + 5.0, 0.5), about<Mm3>(volume, of_volume), about<Mm>(length, of_length), about<Mm>(1, 0.3), about<Mm>(10, 1),
            {2.5, about<Mm>(5, 0.2), about<Mm>(3, 0.2), about<Mm2>(area, 0.5), Unmeasured{"not on CT"}}, {}, 1, 1.6, 1.5};
}

ElementMeasurements sum_of(const std::vector<ElementMeasurements>& pieces) {
    std::vector<const ElementMeasurements*> each;
    for (const ElementMeasurements& p : pieces) each.push_back(&p);
    return added_up(each, pieces.front());
}

double uncertainty(const Measurement<Mm3>& volume) { return (volume.measured()->high() - volume.measured()->low()).value() / (2.0 * z95); }

std::vector<std::size_t> pieces(const FoundElement& whole, const std::vector<FoundElement>& parts, const std::vector<FoundElement>& others = {}) {
    std::vector<const FoundElement*> part_list, other_list;
    for (const FoundElement& p : parts) part_list.push_back(&p);
    for (const FoundElement& o : others) other_list.push_back(&o);
    return pieces_of(whole, other_list, part_list);
}

using Indices = std::vector<std::size_t>;

}  // namespace

TEST(Pieces, lie_beside_each_other_where_the_whole_lay) {
    const FoundElement whole = arc(1.0, 5.0);
    EXPECT_EQ(pieces(whole, {arc(1.0, 2.2), arc(3.6, 2.4)}), (Indices{0, 1}));
    EXPECT_EQ(pieces(whole, {arc(1.0, 2.2), arc(8.0, 2.0), arc(3.6, 2.4)}), (Indices{0, 2})) << "what lies elsewhere is another element";
    EXPECT_TRUE(pieces(whole, {arc(1.0, 4.0)}).empty()) << "one part is no pieces";
    EXPECT_TRUE(pieces(whole, {arc(1.0, 2.2), arc(1.2, 1.8)}).empty()) << "one over another";
    EXPECT_TRUE(pieces(whole, {arc(1.0, 2.2), arc(3.6, 2.4)}, {arc(3.5, 2.5)}).empty()) << "the second was there as an element of its own";
}

TEST(Pieces, may_have_slipped_four_millimetres_and_no_farther) {
    // On a globe of 12 mm 4 mm are 19 degrees; frames differ by less. The whole lies from 70 to 90 degrees: wholly in front of it is 20 degrees and more.
    const FoundElement whole = arc(1.0, 5.0);
    EXPECT_EQ(pieces(whole, {arc(1.0, 2.2, 54.0, 74.0), arc(3.6, 2.4, 54.0, 74.0)}).size(), 2U);
    EXPECT_TRUE(pieces(whole, {arc(1.0, 2.2, 30.0, 50.0), arc(3.6, 2.4, 30.0, 50.0)}).empty());
}

TEST(Pieces, joined_hold_every_cell_once_in_order) {
    const FoundElement a = arc(3.6, 2.4), b = arc(1.0, 2.2), both = joined({&a, &b});
    EXPECT_EQ(both.cells.size(), a.cells.size() + b.cells.size());
    EXPECT_TRUE(std::is_sorted(both.cells.begin(), both.cells.end(), [](const ElementCell& x, const ElementCell& y) { return x.index < y.index; }));
    const FoundElement twice = joined({&a, &a});
    EXPECT_EQ(twice.cells.size(), a.cells.size());
}

TEST(Pieces, errors_that_all_share_add_up_and_those_of_their_ends_in_squares) {
    // Lengths known exactly: 10 % of either is 10 % of both.
    const Measurement<Mm3> alike = sum_of({piece(200, 20, 9, 0), piece(300, 30, 13, 0)}).volume;
    EXPECT_DOUBLE_EQ(alike.measured()->value().value(), 500.0);
    EXPECT_NEAR(uncertainty(alike), 50.0, 0.01);
    // Nothing but ends in doubt, 10 % of each length: 20 and 30 make 36.06.
    EXPECT_NEAR(uncertainty(sum_of({piece(200, 20, 10, 1), piece(300, 30, 15, 1.5)}).volume), std::hypot(20.0, 30.0), 0.01);
    // 3 of 5 by the ends and 4 of 5 by what is shared: hypot(8 + 8, 6, 6) of two alike.
    EXPECT_NEAR(uncertainty(sum_of({piece(100, 10, 10, 0.6), piece(100, 10, 10, 0.6)}).volume), std::hypot(16.0, std::hypot(6.0, 6.0)), 0.01);
}

TEST(Pieces, together_reach_as_far_as_the_outermost_and_are_counted) {
    const ElementMeasurements all = sum_of({piece(200, 20, 9, 0.5, 9.0, 12.0), piece(300, 30, 13, 0.5, 8.0, 14.0), piece(50, 5, 3, 0.5, 10.5, 9.0)});
    EXPECT_EQ(all.fragments, 3);
    EXPECT_DOUBLE_EQ(all.length.measured()->value().value(), 25.0);
    EXPECT_DOUBLE_EQ(all.limbus_anterior.measured()->value().value(), 8.0);
    EXPECT_DOUBLE_EQ(all.limbus_posterior.measured()->value().value(), 15.5);
    EXPECT_DOUBLE_EQ(all.largest_section.area.measured()->value().value(), 14.0);
}

TEST(Pieces, without_the_size_of_one_there_is_none_of_all) {
    ElementMeasurements unknown = piece(200, 20, 9, 0.5);
    unknown.volume = Unmeasured{"cut by the images' end"};
    const Measurement<Mm3> sum = sum_of({piece(300, 30, 13, 0.5), unknown}).volume;
    ASSERT_FALSE(sum.has_value());
    EXPECT_EQ(sum.unmeasured()->why, "cut by the images' end");
}

}  // namespace perisclera
