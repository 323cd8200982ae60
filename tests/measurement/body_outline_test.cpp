// SPDX-License-Identifier: Apache-2.0
// Drawn bodies on a globe, of which a part was found, outlined on CT, T1 and T2 together: volume, edges and thickness against the closed forms of a sector of a shell.
// Contrasts of the tissues are facts of the trade (common practice, no source); hydrogel of three quarters water on CT: 10 + 164 HU times the polymer's share (calculated,
// see material_table.h).
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "perisclera/measurement/element_measurements.h"
#include "perisclera/segmentation/body_outline.h"
#include "src/segmentation/body_shares.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera {

namespace {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr test::OrbitSignals on_ct{8, 45, -95, 48}, on_t1{210, 120, 1300, 330}, on_t2{930, 60, 700, 130};
constexpr double hydrogel_hu = 51.0, hydrogel_t1 = 560.0, hydrogel_t2 = 330.0;
constexpr test::ShellSector whole{0.6, 3.0, 72 * degrees, 112 * degrees, 0.0, 5.0}, found_part{0.9, 2.4, 78 * degrees, 107 * degrees, 0.0, 4.0};
/// One of them lies against the body's end and another before its other end.
constexpr test::MuscleStrips muscles{10.0, 4.0};

EyeView seen(Modality modality, SeriesRole role, const test::OrbitSignals& tissue, double body) {
    return {0, modality, role, 120.0, test::drawn_orbit(Eye::left, radius, tissue, muscles, &whole, body)};
}
const EyeView& ct() {
    static const EyeView view = seen(Modality::ct, SeriesRole::ct_soft, on_ct, hydrogel_hu);
    return view;
}
const EyeView& t1() {
    static const EyeView view = seen(Modality::mr, SeriesRole::t1, on_t1, hydrogel_t1);
    return view;
}
const EyeView& t2() {
    static const EyeView view = seen(Modality::mr, SeriesRole::t2, on_t2, hydrogel_t2);
    return view;
}

EyeElement part_found(Appearance appearance) { return {0, test::element_of(found_part, appearance, hydrogel_hu, -95.0), {}}; }

/// Without a fellow eye, which no drawn orbit needs.
std::optional<BodyOutline> outlined(const std::vector<const EyeView*>& views, Appearance appearance) {
    return outline_of_body(views, std::vector<const EyeView*>(views.size(), nullptr), part_found(appearance), {});
}

struct Outlined {
    double edge_seen;
    ElementMeasurements measured;
};
Outlined measured(const std::vector<const EyeView*>& views, Appearance appearance) {
    FoundElement element = part_found(appearance).found;
    auto outline = outlined(views, appearance);
    EXPECT_TRUE(outline);
    element.cells = outline->cells;
    element.edge_seen = outline->edge_seen;
    return {outline->edge_seen, measure_element(views[0]->block, element)};
}

/// Like `like`, but with this tissue all about the body, in slices so thick.
EyeView surrounded(const EyeView& like, const test::OrbitSignals& tissue, double slice_mm, double body, double around) {
    static constexpr test::ShellSector about{0.3, 3.6, 60 * degrees, 124 * degrees, 0.0, 9.0};
    EyeView view = like;
    const EyeFrame frame = like.block.globe().frame;
    view.block = PolarBlock(test::drawn_grid({0, 2, 0}, {100, 100, static_cast<int>(54.0 / slice_mm)}, {0.55, 0.55, slice_mm}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        const double height = std::hypot(e.x, e.y, e.z) - radius;
        if (whole.holds(e, radius)) return body;
        if (about.holds(e, radius)) return around;
        return height < -1.1 ? tissue.vitreous : height < 0.0 ? tissue.wall : muscles.hold(e, radius) ? tissue.muscle : tissue.fat;
    }), like.block.globe());
    return view;
}

double limbus_arc(double polar) { return radius * (polar - std::asin(5.9 / radius)); }

/// The value is this near the truth, and the interval holds it.
template <class Q>
void expect_about(const Measurement<Q>& said, double truth, double tolerance, const char* what) {
    ASSERT_TRUE(said.has_value()) << what;
    EXPECT_NEAR(said.measured()->value().value(), truth, tolerance) << what;
    EXPECT_LE(said.measured()->low().value(), truth) << what;
    EXPECT_GE(said.measured()->high().value(), truth) << what;
}

/// Between the signals of two tissues a cell is explained without the element as well: the outline lies inwards by a fraction of a cell, of which this body has much surface.
void expect_whole(const ElementMeasurements& m, double volume_share, double edge_mm) {
    expect_about(m.volume, whole.volume_mm3(radius), volume_share * whole.volume_mm3(radius), "volume");
    expect_about(m.limbus_anterior, limbus_arc(whole.first_polar), edge_mm, "front edge");
    expect_about(m.limbus_posterior, limbus_arc(whole.last_polar), edge_mm, "rear edge");
    expect_about(m.largest_section.width, radius * (whole.last_polar - whole.first_polar), 1.5 * edge_mm, "width");
    expect_about(m.largest_section.thickness, whole.outer_mm - whole.inner_mm, 0.7, "thickness");
    expect_about(m.span, whole.span_hours, 0.3, "span");
}

}  // namespace

TEST(BodyOutline, of_a_part_that_was_found_is_the_whole_on_ct_and_mr) {
    ASSERT_LT(found_part.volume_mm3(radius), 0.5 * whole.volume_mm3(radius));
    expect_whole(measured({&ct(), &t1(), &t2()}, Appearance::ct_mass).measured, 0.20, 0.7);
}

TEST(BodyOutline, is_found_on_t1_and_t2_alone) { expect_whole(measured({&t2(), &t1()}, Appearance::t2_bright).measured, 0.22, 1.0); }

// What a body pushes outwards is squeezed about it: soft tissue on CT, on T1 and T2 between muscle and fat (common practice, no source). Where the body's T1 is muscle's, muscle
// and fat alone explain such tissue no better than the body does.
TEST(BodyOutline, leaves_out_what_lies_squeezed_about_the_body) {
    const EyeView on_all[] = {surrounded(ct(), on_ct, 1.5, 42, 46), surrounded(t1(), {174, 120, 858, 256}, 3.0, 262, 550), surrounded(t2(), {1535, 100, 661, 247}, 3.0, 466, 330)};
    const EyeElement element = part_found(Appearance::ct_mass);
    PolarMask found(PolarBlock::cell_count, 0);
    for (const ElementCell& cell : element.found.cells) found[cell.index] = cell.share >= 0.5f;
    const ColumnMask nothing(column_count, 0);
    const BodyShares shares({&on_all[0], &on_all[1], &on_all[2]}, {nullptr, nullptr, nullptr}, 0, {found, found}, nothing);
    const auto mean_share = [&](double from_mm, double to_mm) {
        double sum = 0.0;
        int cells = 0;
        for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
            const PolarCell at = PolarBlock::cell(i);
            const double hour = PolarBlock::clock_hours(at.clock), polar = PolarBlock::polar_radians(at.polar) / degrees, height = PolarBlock::height_mm(at.height);
            if (hour < 1.0 || hour > 3.0 || polar < 76.0 || polar > 108.0 || height < from_mm || height > to_mm) continue;
            sum += static_cast<double>(shares.at(i)), ++cells;
        }
        return sum / cells;
    };
    EXPECT_GT(mean_share(2.0, 3.5), 0.75) << "in the body";
    EXPECT_LT(mean_share(6.5, 8.0), 0.04) << "in what lies squeezed a millimetre and a half beyond it; 0.06 where it is held against muscle and fat alone";
}

// On CT hydrogel and muscle are one.
TEST(BodyOutline, tells_how_much_of_its_surface_no_series_shows) {
    const Outlined by_ct = measured({&ct()}, Appearance::ct_mass), by_all = measured({&ct(), &t1(), &t2()}, Appearance::ct_mass);
    EXPECT_GT(by_all.edge_seen, 0.8) << "all but what blurs into muscle, of which T2 shows three standard uncertainties a millimetre on";
    EXPECT_LT(by_ct.edge_seen, by_all.edge_seen - 0.05);
    const auto relative = [](const Outlined& o) { return o.measured.volume.measured()->standard_uncertainty() / o.measured.volume.measured()->value(); };
    EXPECT_GT(relative(by_ct), relative(by_all));
}

TEST(BodyOutline, among_tissue_like_the_body_its_bulk_is_doubtful) {
    const auto amid = [](double ct_around, double t1_around, double t2_around) {
        const EyeView on_all[] = {surrounded(ct(), on_ct, 1.5, hydrogel_hu, ct_around), surrounded(t1(), on_t1, 3.0, hydrogel_t1, t1_around), surrounded(t2(), on_t2, 3.0, hydrogel_t2, t2_around)};
        return measured({&on_all[0], &on_all[1], &on_all[2]}, Appearance::ct_mass);
    };
    const auto half_width = [](const Outlined& o) { return o.measured.volume.measured()->standard_uncertainty() / o.measured.volume.measured()->value(); };
    const Outlined unlike = amid(on_ct.fat, on_t1.fat, on_t2.fat), alike = amid(46.0, 780.0, 180.0);
    EXPECT_GT(unlike.edge_seen, 0.7);
    EXPECT_LT(alike.edge_seen, 0.5) << "on T1 and T2 within three standard uncertainties of the body";
    EXPECT_GT(half_width(alike), 2.0 * half_width(unlike));
}

TEST(BodyOutline, needs_a_series_that_serves) {
    EyeView flair = t2(), apart = t1();
    flair.role = SeriesRole::flair;
    EXPECT_FALSE(outlined({&flair}, Appearance::ct_mass)) << "of which nothing is known";
    EXPECT_TRUE(outlined({&ct(), &flair}, Appearance::ct_mass));
    apart.kept_apart = true;
    const auto with = outlined({&ct(), &apart}, Appearance::ct_mass), without = outlined({&ct()}, Appearance::ct_mass);
    ASSERT_TRUE(with && without);
    EXPECT_EQ(with->edge_seen, without->edge_seen) << "what lies in another frame has no say";
    EyeElement nothing = part_found(Appearance::ct_mass);
    nothing.found.cells.clear();
    EXPECT_FALSE(outline_of_body({&ct()}, {nullptr}, nothing, {}));
}

}  // namespace perisclera
