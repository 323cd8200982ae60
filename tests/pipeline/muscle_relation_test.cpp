// SPDX-License-Identifier: Apache-2.0
// How an element lies to a rectus by place, against published anatomy: insertions 5.5, 6.5, 6.9 and 7.7 mm behind the limbus (handbook: medial, inferior,
// lateral, superior) with what was measured at surgery and in 60 cadaver eyes (4.5 to 8.1 mm), 8.4 to 10.5 mm broad. A buckle lies behind the insertions,
// 11.5 to 14.8 mm from the limbus (reference, part on position).
#include <gtest/gtest.h>

#include "src/pipeline/muscle_relation.h"

namespace perisclera {

namespace {

using namespace report;

template <class Q>
Measured<Q> known_to(double value, double half) {
    return {Q(value), Q(value - half), Q(value + half)};
}

ElementEntry element(double from, double span, double front_mm, double rear_mm, double doubt_mm = 0.6) {
    ElementEntry e;
    e.id = "L1";
    e.from = known_to<ClockHours>(from, 0.2);
    e.to = known_to<ClockHours>(from + span >= 12.0 ? from + span - 12.0 : from + span, 0.2);
    e.span = known_to<ClockHours>(span, span == 12.0 ? 0.0 : 0.3);
    e.limbus_anterior = known_to<Mm>(front_mm, doubt_mm);
    e.limbus_posterior = known_to<Mm>(rear_mm, doubt_mm);
    return e;
}

std::array<MuscleRelation, 4> relations(const ElementEntry& e, Eye eye) {
    std::array<MuscleRelation, 4> out{};
    for (const Rectus r : all_recti) out[static_cast<std::size_t>(r)] = relation_by_place(e, r, eye).relation;
    return out;
}

constexpr auto open = MuscleRelation::not_determinable, free = MuscleRelation::not_crossed, before = MuscleRelation::in_front_of_insertion;

}  // namespace

TEST(MuscleRelation, a_segment_between_two_muscles_crosses_neither) {
    // A quarter of the equator of a 24 mm globe is 18.8 mm long; muscles as broad as their insertions leave 8 mm or more of it free, this element takes up 2.5.
    for (const double from : {1.3, 4.3, 7.3, 10.3}) {
        const auto all = relations(element(from, 0.4, 12.0, 16.0), Eye::right);
        EXPECT_EQ(all, (std::array{free, free, free, free})) << from;
    }
}

TEST(MuscleRelation, nasal_and_temporal_change_sides_with_the_eye) {
    const ElementEntry towards_left = element(2.0, 2.0, 12.0, 16.0);   // 2 to 4 o'clock: medial of a right eye, lateral of a left one
    EXPECT_EQ(relations(towards_left, Eye::right), (std::array{free, free, open, free}));
    EXPECT_EQ(relations(towards_left, Eye::left), (std::array{free, free, free, open}));
    EXPECT_TRUE(relation_by_place(towards_left, Rectus::lateral, Eye::left).front_edge_to_insertion.has_value());
}

TEST(MuscleRelation, an_element_that_ends_at_the_muscles_edge_is_left_open) {
    const MuscleElement told = relation_by_place(element(0.9, 1.2, 12.0, 16.0), Rectus::superior, Eye::right);
    EXPECT_EQ(told.relation, open);
    EXPECT_FALSE(told.front_edge_to_insertion.has_value());
}

TEST(MuscleRelation, a_ring_behind_the_insertions_lies_that_far_behind_each_and_over_or_under_is_left_open) {
    const ElementEntry ring = element(0.0, 12.0, 12.0, 14.5);
    EXPECT_EQ(relations(ring, Eye::left), (std::array{open, open, open, open}));
    constexpr std::array handbook{7.7, 6.5, 5.5, 6.9};   // as all_recti
    for (const Rectus r : all_recti) {
        const auto distance = relation_by_place(ring, r, Eye::left).front_edge_to_insertion;
        ASSERT_TRUE(distance.has_value());
        const double expected = 12.0 - handbook[static_cast<std::size_t>(r)];
        EXPECT_LE(distance.measured()->low().value(), expected);
        EXPECT_GE(distance.measured()->high().value(), expected);
        EXPECT_GT(distance.measured()->low().value(), 2.0) << "behind it for certain";
    }
}

TEST(MuscleRelation, what_has_come_forward_lies_in_front_of_the_insertion_once_its_rear_edge_does) {
    const ElementEntry forward = element(11.0, 2.0, 1.0, 3.5, 0.5), half_way = element(11.0, 2.0, 4.0, 9.0, 0.5);
    EXPECT_EQ(relations(forward, Eye::right)[0], before);
    EXPECT_LT(relation_by_place(forward, Rectus::superior, Eye::right).front_edge_to_insertion.measured()->high().value(), 0.0);
    EXPECT_EQ(relations(half_way, Eye::right)[0], open);
    ElementEntry without_edges = forward;
    without_edges.limbus_posterior = Unmeasured{"not seen"};
    EXPECT_EQ(relation_by_place(without_edges, Rectus::superior, Eye::right).relation, open);
}

}  // namespace perisclera
