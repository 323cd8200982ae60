// SPDX-License-Identifier: Apache-2.0
// Expected values: the definitions of axial length and equatorial diameter (README), the textbook distances of the rectus insertions
// from the limbus (5.5 medial, 6.5 inferior, 6.9 lateral, 7.7 superior, mm), the published span of rectus and nerve thickness.
#include "phantoms/head_model.h"

#include <gtest/gtest.h>

#include <cmath>

namespace perisclera::phantoms {
namespace {

constexpr std::array<std::array<double, 2>, 2> straight{{{0.0, 0.0}, {0.0, 0.0}}};

EyeState eye(double radius, double axial_length, std::vector<Element> elements = {}) {
    return {radius, axial_length, Contents::vitreous, Lens::natural, {0, 0, 0}, std::move(elements)};
}

Element band(double thickness, double indentation) {
    Element e{};
    e.material = Material::solid_silicone;
    e.form = Form::encircling;
    e.limbus_mm = 12.0;
    e.width_mm = 4.0;
    e.thickness_mm = thickness;
    e.indentation_mm = indentation;
    e.to_hour = 12.0;
    return e;
}

bool of_globe(Label l) { return l >= label(Tissue::sclera) && l < label(Tissue::count); }

/// Distance from the globe's centre to the last point of globe in this direction of the eye.
double extent(const HeadModel& head, Eye which, EyeVector direction) {
    double last = 0.0;
    for (double r = 0.0; r < 20.0; r += 0.005)
        if (of_globe(head.label_at(head.placement(which).to_head(EyePoint{0, 0, 0} + direction * r)))) last = r;
    return last;
}

TEST(HeadModel, globe_has_the_axial_length_and_the_equator_asked_for) {
    for (const double longer : {-1.0, 0.0, 3.0}) {
        const double length = GlobeShape::sphere(11.7).axial_length() + longer;
        const HeadModel head({eye(11.7, length), eye(11.2, 24.0)}, {{{7.0, -4.0}, {7.0, -4.0}}});
        EXPECT_NEAR(extent(head, Eye::right, {0, 0, 1}) + extent(head, Eye::right, {0, 0, -1}), length, 0.02);
        EXPECT_NEAR(extent(head, Eye::right, {1, 0, 0}), 11.7, 0.01);
        EXPECT_NEAR(extent(head, Eye::right, {0, -1, 0}), 11.7, 0.01);
        EXPECT_NEAR(extent(head, Eye::left, {-1, 0, 0}), 11.2, 0.01);
    }
}

// A globe of 24 mm with a usual cornea is about 25 mm long: anatomy's 24 mm for 23 to 24 mm across.
TEST(HeadModel, a_sphere_with_a_cornea_is_as_long_as_eyes_are) {
    EXPECT_NEAR(GlobeShape::sphere(11.5).axial_length(), 24.0, 0.5);
}

TEST(HeadModel, recti_insert_where_textbooks_say) {
    const HeadModel head({eye(11.7, 24.3), eye(11.7, 24.3)}, straight);
    for (const Eye which : both_eyes) {
        const double nasal = which == Eye::right ? 3.0 : 9.0;
        const std::array<std::array<double, 2>, 4> insertions{{{12.0, 7.7}, {6.0, 6.5}, {nasal, 5.5}, {12.0 - nasal, 6.9}}};
        for (const auto& [hour, distance] : insertions) {
            double first = 0.0;
            for (double arc = 0.0; arc < 14.0 && first == 0.0; arc += 0.02) {
                const double polar = head.eye(which).shape().polar_angle(arc), clock = hour * pi / 6.0, r = 11.7 + 0.25;
                const EyePoint p{r * std::sin(polar) * std::sin(clock), r * std::sin(polar) * std::cos(clock), r * std::cos(polar)};
                if (head.label_at(head.placement(which).to_head(p)) == label(Tissue::muscle)) first = arc;
            }
            EXPECT_NEAR(first, distance, 0.25) << name(which) << " " << hour;
        }
    }
}

// CT of 200 orbits, mean with two standard deviations: medial rectus 3.3 to 5.0 mm, lateral 1.7 to 4.8 mm; the lines counted here
// cross the muscles at a slant, medial by some 10 and lateral by some 35 degrees.
TEST(HeadModel, horizontal_recti_are_as_thick_as_measured_in_people) {
    const HeadModel head({eye(11.7, 24.3), eye(11.7, 24.3)}, straight);
    double medial = 0.0, lateral = 0.0;
    for (double y = 8.0; y < 28.0; y += 0.5) {
        double inner = 0.0, outer = 0.0;
        const double middle = 31.0 - 16.0 * y / 35.0;  // between globe and apex
        // Outwards from the middle until the bony wall on either side.
        for (double x = middle; x > 0.0 && head.label_at({x, y, 0.5}) != label(Tissue::cortical_bone); x -= 0.02)
            if (head.label_at({x, y, 0.5}) == label(Tissue::muscle)) inner += 0.02;
        for (double x = middle; x < 60.0 && head.label_at({x, y, 0.5}) != label(Tissue::cortical_bone); x += 0.02)
            if (head.label_at({x, y, 0.5}) == label(Tissue::muscle)) outer += 0.02;
        medial = std::max(medial, inner);
        lateral = std::max(lateral, outer);
    }
    EXPECT_GT(medial, 3.3);
    EXPECT_LT(medial, 5.5);
    EXPECT_GT(lateral, 1.7);
    EXPECT_LT(lateral, 6.0);
}

TEST(HeadModel, an_element_pushes_muscle_out_and_the_wall_in) {
    const HeadModel without({eye(11.7, 24.3), eye(11.7, 24.3)}, straight), with({eye(11.7, 24.3, {band(3.0, 1.0)}), eye(11.7, 24.3)}, straight);
    const double polar = without.eye(Eye::right).shape().polar_angle(12.0);
    const EyeVector up{0.0, std::sin(polar), std::cos(polar)};  // through the superior rectus
    const auto at = [&](const HeadModel& head, double r) { return head.label_at(head.placement(Eye::right).to_head(EyePoint{0, 0, 0} + up * r)); };
    EXPECT_EQ(at(without, 11.65), label(Tissue::sclera));
    EXPECT_EQ(at(without, 11.95), label(Tissue::muscle));
    for (double r = 10.75; r < 13.65; r += 0.1) EXPECT_EQ(at(with, r), static_cast<Label>(tissue_count)) << r;
    EXPECT_EQ(at(with, 10.65), label(Tissue::sclera));
    EXPECT_EQ(at(with, 13.95), label(Tissue::muscle));
    // Far away nothing has changed.
    EXPECT_EQ(at(with, 5.0), at(without, 5.0));
    EXPECT_EQ(with.label_at({-20.0, 30.0, 0.0}), without.label_at({-20.0, 30.0, 0.0}));
}

// An explant moves with the globe, fat does not.
TEST(HeadModel, an_element_turns_with_gaze) {
    const HeadModel ahead({eye(11.7, 24.3, {band(3.0, 0.0)}), eye(11.7, 24.3)}, straight);
    const HeadModel aside({eye(11.7, 24.3, {band(3.0, 0.0)}), eye(11.7, 24.3)}, {{{20.0, 0.0}, {0.0, 0.0}}});
    const HeadPoint temporal = ahead.placement(Eye::right).to_head({-13.0, 0.0, 0.4});
    EXPECT_EQ(ahead.label_at(temporal), static_cast<Label>(tissue_count));
    EXPECT_NE(aside.label_at(temporal), static_cast<Label>(tissue_count));
    EXPECT_EQ(aside.label_at(aside.placement(Eye::right).to_head({-13.0, 0.0, 0.4})), static_cast<Label>(tissue_count));
    // Gaze towards the patient's left turns the axis towards +x.
    EXPECT_GT(aside.placement(Eye::right).anterior.x, 0.3);
}

}  // namespace
}  // namespace perisclera::phantoms
