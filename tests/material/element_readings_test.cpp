// SPDX-License-Identifier: Apache-2.0
// What is read of an element on each series, against the signals that drew it.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include <gtest/gtest.h>

#include "perisclera/material/element_readings.h"
#include "tests/support/drawn_eye.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::ShellSector thick{1.0, 3.0, 78 * degrees, 104 * degrees, 0.0, 5.0}, thin{0.0, 12.0, 82 * degrees, 94 * degrees, 0.0, 1.0};

EyeView view(std::size_t series, Modality modality, SeriesRole role, const test::ShellSector& sector, double element, double around, double vitreous) {
    Globe globe = test::ball_globe(Eye::left, {0, 0, 0}, radius);
    globe.interior_mean = vitreous;
    const EyeFrame frame = globe.frame;
    const auto grid = test::drawn_grid({0, 0, 0}, {84, 84, 50}, {0.6, 0.6, 1.0}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        return sector.holds(e, radius) ? element : std::hypot(e.x, e.y, e.z) < radius ? vitreous : around;
    });
    return {series, modality, role, 100.0, PolarBlock(grid, globe)};
}

std::vector<Reading> readings(const std::vector<const EyeView*>& views, FoundElement found) {
    const ElementMeasurements measured = measure_element(views.front()->block, found);
    std::vector<std::optional<double>> vitreous;
    for (const EyeView* v : views) vitreous.push_back(v->block.globe().interior_mean);
    return read_element(views, vitreous, {0, std::move(found), {}}, measured);
}

std::optional<Reading> of_kind(const std::vector<Reading>& all, EvidenceKind kind) {
    const auto it = std::find_if(all.begin(), all.end(), [&](const Reading& r) { return r.kind == kind; });
    return it == all.end() ? std::nullopt : std::optional(*it);
}

}  // namespace

TEST(ElementReadings, a_thick_element_shows_its_own_signal_on_every_series) {
    const EyeView ct = view(3, Modality::ct, SeriesRole::ct_soft, thick, 190, -95, 8), t1 = view(5, Modality::mr, SeriesRole::t1, thick, 90, 500, 200),
                  t2 = view(6, Modality::mr, SeriesRole::t2, thick, 950, 550, 1000);
    const auto all = readings({&ct, &t1, &t2}, test::element_of(thick, Appearance::ct_bright, 190, -95));
    const auto number = of_kind(all, EvidenceKind::ct_number), on_t1 = of_kind(all, EvidenceKind::t1_ratio), on_t2 = of_kind(all, EvidenceKind::t2_ratio);
    ASSERT_TRUE(number && on_t1 && on_t2);
    EXPECT_EQ(number->series, 3U);
    EXPECT_EQ(number->kvp, 100.0);
    EXPECT_NEAR(number->value, 190.0, 1.0);
    EXPECT_EQ(on_t1->series, 5U);
    EXPECT_NEAR(on_t1->value, 90.0 / 200.0, 0.02) << "relative to vitreous";
    EXPECT_NEAR(on_t2->value, 950.0 / 1000.0, 0.02);
    EXPECT_FALSE(of_kind(all, EvidenceKind::ct_peak));
    EXPECT_NEAR(of_kind(all, EvidenceKind::section_thickness)->value, 5.0, 0.2);
    EXPECT_NEAR(of_kind(all, EvidenceKind::fits_wall)->value, 3.0, 0.2);
}

// An eye filled with something else tells nothing of vitreous: the other eye's signal is taken, and without it none is read.
TEST(ElementReadings, mr_is_read_against_the_vitreous_that_is_given) {
    const EyeView ct = view(3, Modality::ct, SeriesRole::ct_soft, thick, 190, -95, 8), t2 = view(6, Modality::mr, SeriesRole::t2, thick, 950, 550, 300);
    const FoundElement found = test::element_of(thick, Appearance::ct_bright, 190, -95);
    const ElementMeasurements measured = measure_element(ct.block, found);
    const auto against = [&](std::optional<double> vitreous) { return of_kind(read_element({&ct, &t2}, {8.0, vitreous}, {0, found, {}}, measured), EvidenceKind::t2_ratio); };
    ASSERT_TRUE(against(1000.0));
    EXPECT_NEAR(against(1000.0)->value, 950.0 / 1000.0, 0.02);
    EXPECT_FALSE(against({}));
}

// Of an element thinner than the blur only a lower bound is read, and nothing on other series, whose frames agree to a millimetre or two.
TEST(ElementReadings, a_thin_element_gives_a_lower_bound_and_nothing_elsewhere) {
    const EyeView ct = view(3, Modality::ct, SeriesRole::ct_soft, thin, 190, -95, 8), t2 = view(6, Modality::mr, SeriesRole::t2, thin, 20, 550, 1000);
    FoundElement found = test::element_of(thin, Appearance::ct_bright, 190, -95);
    found.thinner_than_blur = true;
    const auto all = readings({&ct, &t2}, found);
    const auto peak = of_kind(all, EvidenceKind::ct_peak);
    ASSERT_TRUE(peak);
    EXPECT_LE(peak->value, 190.0);
    EXPECT_GT(peak->value, 0.0);
    EXPECT_FALSE(of_kind(all, EvidenceKind::ct_number));
    EXPECT_FALSE(of_kind(all, EvidenceKind::t2_ratio));
}

// A tire of 2 mm between slices of 3 shows half its neighbours' fat on T1: that is no signal of its own, and how thick it looks says nothing of its material. Both
// silicones are dark on T1 and T2 (common practice, no source).
TEST(ElementReadings, what_a_void_borrows_excludes_neither_silicone) {
    const EyeView t1 = view(5, Modality::mr, SeriesRole::t1, thick, 150, 1300, 200), t2 = view(6, Modality::mr, SeriesRole::t2, thick, 60, 800, 900);
    FoundElement found = test::element_of(thick, Appearance::mr_void, 150, 1300);
    found.own_signs = true;
    const auto all = readings({&t1, &t2}, found);
    ASSERT_TRUE(of_kind(all, EvidenceKind::t1_ratio) && of_kind(all, EvidenceKind::t2_ratio));
    EXPECT_FALSE(of_kind(all, EvidenceKind::section_thickness));
    const MaterialOpinion opinion = judge_material(all);
    EXPECT_FALSE(opinion.label);
    for (const MaterialClass silicone : {MaterialClass::solid_silicone, MaterialClass::silicone_sponge})
        EXPECT_NE(std::find(opinion.candidates.begin(), opinion.candidates.end(), silicone), opinion.candidates.end());
    EXPECT_EQ(opinion.next, NextStep::ct);
}

// Drawn with its inner face on the sclera, 2 mm off it, and 1 mm inside it.
TEST(ElementReadings, how_far_an_element_stands_off_the_sclera) {
    for (const double inner : {0.0, 2.0, -1.0}) {
        const test::ShellSector sector{1.0, 3.0, 78 * degrees, 104 * degrees, inner, inner + 4.0};
        const EyeView ct = view(3, Modality::ct, SeriesRole::ct_soft, sector, -500, -95, 8);
        const auto off = of_kind(readings({&ct}, test::element_of(sector, Appearance::ct_dark, -500, -95)), EvidenceKind::off_wall);
        ASSERT_TRUE(off);
        EXPECT_NEAR(off->value, inner, 0.5) << "one cell of the grid";
        EXPECT_GT(off->uncertainty, 0.0);
    }
}

// Weightings without a place in the table of materials say nothing.
TEST(ElementReadings, other_weightings_are_not_read) {
    const EyeView ct = view(3, Modality::ct, SeriesRole::ct_soft, thick, 190, -95, 8), flair = view(7, Modality::mr, SeriesRole::flair, thick, 90, 500, 200);
    const auto all = readings({&ct, &flair}, test::element_of(thick, Appearance::ct_bright, 190, -95));
    EXPECT_TRUE(std::none_of(all.begin(), all.end(), [](const Reading& r) { return r.series == 7; }));
}

}  // namespace perisclera
