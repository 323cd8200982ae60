// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/element_measurements.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "bare_wall.h"
#include "beside_bone.h"
#include "element_layout.h"
#include "perisclera/core/text.h"
#include "section_edges.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;
constexpr double torsion_degrees = 3.0;
constexpr double degrees_per_hour = 30.0, to_degrees = 180.0 / std::numbers::pi;

/// What limits every length on this element: a surface known to `surface` mm, a signal known to `scale` (relative).
struct Doubt {
    double surface, scale;
    /// A mass known by displaced fat ends unseen against muscle, lid and wall, a void on MR against muscle and tendon as dark: standard
    /// uncertainties of its edges, its ends along the clock and its thickness in mm (from the spread of errors on synthesised patients,
    /// seeds 1, 2 and 4 of tests/accuracy.sh, and in real heads, docs/accuracy_real_heads.md).
    double unseen_edge, unseen_end, unseen_thickness;
    bool thin;   ///< blur spreads a thin element but keeps its sum: its surface adds no doubt of its own
    double outline_blur_cells = 1.0;   ///< along the meridian, at most; an outline is as sharp as the grid
    double of_section = 0.0;   ///< of its area, what single clock hours are off by beyond the whole
    double beside_bone = 0.0;  ///< relative, in `scale` already
    [[nodiscard]] double of_thickness(double t) const { return std::hypot(std::hypot(thin ? 0.05 : 1.4 * surface, t * scale), unseen_thickness); }
    [[nodiscard]] double of_bulk(double surface_area, double bulk) const { return std::hypot(thin ? 0.0 : surface_area * surface * 0.7, bulk * scale); }
    [[nodiscard]] double of_width(double in_arc) const { return std::hypot(std::hypot(1.4 * surface + 0.1, 0.03 * in_arc), 1.4 * unseen_edge); }
};

/// Of an outline, from the spread of errors of the hydrogels of seeds 5 and 13 of tests/accuracy.sh, and of 503 in a real head: more where less of the surface is seen, and the bulk
/// hardly known where tissue like the body lies about half of it.
Doubt doubt_of_outline(const PolarBlock& block, const FoundElement& e) {
    const double unseen = 1.0 - *e.edge_seen, cell = PolarBlock::polar_step * block.equatorial_radius_mm();
    const double blur_cells = e.appearance == Appearance::t2_bright ? std::max(1.0, 0.5 * block.largest_spacing_mm() / cell) : 1.0;
    return {0.05 + 0.07 * block.largest_spacing_mm(), std::hypot(0.10, std::min(0.5, 1.1 * unseen * unseen)), 0.7 + unseen, 1.5 + 3.0 * unseen, 0.8 + unseen, false, blur_cells, 0.12};
}

Doubt doubt_of(const PolarBlock& block, const FoundElement& e) {
    if (e.edge_seen) return doubt_of_outline(block, e);
    const double contrast = std::max(std::abs(e.core_signal - e.background_signal), 1e-6);
    const bool mass = is_mass(e.appearance);
    const bool on_mr = e.appearance == Appearance::mr_void || e.appearance == Appearance::mr_mass;
    constexpr double unseen_share = 0.3;  // of the volume
    // Beside a tire lid, tendon and sclera are nearly as bright.
    const bool moulded_and_thick = e.appearance == Appearance::ct_bright && !e.thinner_than_blur;
    const double beside_bone = doubt_beside_bone(block, e), scale = std::hypot(e.core_signal_uncertainty / contrast, e.thinner_than_blur ? 0.12 : 0.03, beside_bone);
    return {0.05 + 0.07 * block.largest_spacing_mm(), mass ? std::hypot(scale, unseen_share) : scale, mass ? 1.8 : on_mr ? 1.5 : 0.0,
            on_mr ? 4.5 : mass ? 2.5 : 0.0, mass ? 1.5 : moulded_and_thick ? 0.5 : 0.0, e.thinner_than_blur, 1.0, 0.0, beside_bone};
}

/// Interval of a size that cannot be negative: multiplicative towards zero.
template <class Q>
Measured<Q> positive(double value, double uncertainty) {
    const double v = std::max(value, 1e-6);
    return Measured<Q>(Q(v), Q(v * std::exp(-1.96 * uncertainty / v)), Q(v + 1.96 * uncertainty));
}

/// Blur of a profile along the meridian at a place, or along the clock, in steps of the grid: what images do to the edges of a rod; of an outline what is left of it.
double blur_cells(const PolarBlock& block, const FoundElement& element, const Doubt& doubt, int clock, double polar, bool along_clock = false) {
    if (shape_of(element) != SectionShape::rod) return doubt.outline_blur_cells;
    const double hour = PolarBlock::clock_hours((clock + clocks) % clocks), step = along_clock ? 2.0 * std::numbers::pi / clocks : PolarBlock::polar_step;
    constexpr double quarter_turn_hours = 3.0;
    const PatientVector along = along_clock ? block.patient_point(hour + quarter_turn_hours, 0.5 * std::numbers::pi, 0.0) - block.globe().frame.origin()
                                            : block.patient_point(hour, polar + 0.5 * std::numbers::pi, 0.0) - block.globe().frame.origin();
    return std::sqrt(usual_variance(block.geometry(), Modality::ct, unit(along))) / (step * block.equatorial_radius_mm() * (along_clock ? std::sin(polar) : 1.0));
}

/// Thickness along the meridian, the mean of as many clock positions on either side.
std::vector<double> meridian_profile(const ElementLayout& layout, int clock, int either_side) {
    std::vector<double> thickness(polars);
    for (int p = 0; p < polars; ++p)
        for (int k = -either_side; k <= either_side; ++k) thickness[static_cast<std::size_t>(p)] += layout.thickness[ElementLayout::column((clock + k + clocks) % clocks, p)] / (2 * either_side + 1);
    return thickness;
}

MeasuredSection half_plane_section(const PolarBlock& block, const FoundElement& element, const ElementLayout& layout, const std::vector<double>& area, int clock, const Doubt& doubt) {
    const SectionShape shape = shape_of(element);
    const SectionEdges edges = edges_of(meridian_profile(layout, clock, shape == SectionShape::outlined ? 2 : 1), shape, blur_cells(block, element, doubt, clock, layout.polar));
    const double cell = PolarBlock::polar_step * block.equatorial_radius_mm(), width = (edges.last - edges.first) * cell;
    const double a = std::max(area[static_cast<std::size_t>(clock)], 0.0), t = edges.peak;
    const double area_doubt = std::hypot(doubt.of_bulk(2.0 * (width + t), a), doubt.of_section * a);
    return {PolarBlock::clock_hours(clock), positive<Mm>(width, std::hypot(doubt.of_width(width), 2.0 * edges.doubt * cell)),
            positive<Mm>(t, std::hypot(doubt.of_thickness(t), edges.peak_doubt)), positive<Mm2>(a, area_doubt), Unmeasured{say("reason.no_ct_number")}};
}

/// The cut across a radial element: at the polar angle where it is largest, away from its ends, where what lies beyond them may have been taken in.
MeasuredSection radial_section(const PolarBlock& block, double radius, const FoundElement& element, const ElementLayout& layout, const SectionEdges& ends, double middle_hour, const Doubt& doubt) {
    int best = static_cast<int>(std::lround(0.5 * (ends.first + ends.last)));
    double best_area = -1.0;
    const int middle_clock = static_cast<int>(middle_hour * 10.0) % clocks;
    std::vector<double> profile(clocks);
    const double end = 0.25 * (ends.last - ends.first);
    for (int p = static_cast<int>(std::ceil(ends.first + end)); p <= static_cast<int>(ends.last - end); ++p) {
        double a = 0.0;
        for (const ElementCell& cell : element.cells) {
            const PolarCell c = PolarBlock::cell(cell.index);
            if (c.polar != p) continue;
            a += static_cast<double>(cell.share) * block.cell_volume_mm3(c) / ((block.outer_radius_mm(c.clock, p) + PolarBlock::height_mm(c.height)) * PolarBlock::polar_step);
        }
        if (a > best_area) best_area = a, best = p;
    }
    for (int c = 0; c < clocks; ++c) profile[static_cast<std::size_t>((c - middle_clock + clocks + clocks / 2) % clocks)] = layout.thickness[ElementLayout::column(c, best)];
    const SectionEdges edges = edges_of(profile, shape_of(element), blur_cells(block, element, doubt, middle_clock, PolarBlock::polar_radians(best), true));
    const double width = (edges.last - edges.first) * 2.0 * std::numbers::pi / clocks * radius * std::sin(PolarBlock::polar_radians(best));
    const double a = std::max(best_area, 0.0), t = edges.peak;
    MeasuredSection s = half_plane_section(block, element, layout, layout.area, middle_clock, doubt);
    s.width = positive<Mm>(width, doubt.of_width(width));
    s.thickness = positive<Mm>(t, doubt.of_thickness(t));
    s.area = positive<Mm2>(a, doubt.of_bulk(2.0 * (width + t), a));
    return s;
}

double ranked(std::vector<double> v, double rank) {
    if (v.empty()) return 0.0;
    const auto k = static_cast<std::ptrdiff_t>(rank * static_cast<double>(v.size()));
    std::nth_element(v.begin(), v.begin() + k, v.end());
    return v[static_cast<std::size_t>(k)];
}

/// SectionEdges towards and away from the limbus, as fractional polar indices, over the columns of the element.
SectionEdges polar_edges(const PolarBlock& block, const FoundElement& element, const ElementLayout& layout, const Doubt& doubt) {
    const SectionShape shape = shape_of(element);
    const bool outlined = shape == SectionShape::outlined;
    std::vector<double> first, last, doubts;
    double most = 0.0;
    for (const double t : layout.thickness) most = std::max(most, t);
    for (int c = 0; c < clocks; c += outlined ? 3 : 1) {
        const std::vector<double> profile = meridian_profile(layout, c, outlined ? 2 : 0);
        if (*std::max_element(profile.begin(), profile.end()) < 0.35 * most) continue;
        const SectionEdges e = edges_of(profile, shape, blur_cells(block, element, doubt, c, layout.polar));
        first.push_back(e.first), last.push_back(e.last), doubts.push_back(e.doubt);
    }
    // A swollen body is wider in its middle than at its ends.
    constexpr double of_wide_part = 0.15;
    const double off_middle = outlined ? 0.5 - of_wide_part : 0.0;
    return {ranked(first, 0.5 - off_middle), ranked(last, 0.5 + off_middle), most, ranked(doubts, 0.5)};
}

/// Ends of a rod that lies along the meridian, by all its columns together, as clock_extent tells the ends of one along the clock: single columns are noisy.
SectionEdges ends_along_meridian(const ElementLayout& layout) {
    std::vector<double> bulk(polars);
    for (int p = 0; p < polars; ++p)
        for (int c = 0; c < clocks; ++c) bulk[static_cast<std::size_t>(p)] += layout.thickness[ElementLayout::column(c, p)] * std::sin(PolarBlock::polar_radians(p));
    const auto top = std::max_element(bulk.begin(), bulk.end());
    const auto [first, last] = stretch_above(bulk, static_cast<int>(top - bulk.begin()), 0.5 * *top);
    return {first, last, *top};
}

/// Which section of an outline all round stands for its largest, by the sections' spread over their mean: the middle one while they differ by no more than they err by, since
/// muscle or gland beside it may have been taken in at the highest; at most the uppermost tenth is left aside.
double rank_of_largest(double unevenness) {
    // Of 16 drawn hydrogels of one section all round, on CT and MR (0.04 to 0.33): half of the middle ones are right to 6 %, the uppermost but a tenth is 14 % too large in the mean.
    constexpr double err = 0.17, middle = 0.5, uppermost = 0.9;
    return middle + (uppermost - middle) * std::sqrt(std::max(0.0, 1.0 - std::pow(err / std::max(unevenness, err), 2)));
}

}  // namespace

ElementMeasurements measure_element(const PolarBlock& block, const FoundElement& element) {
    ElementLayout layout = lay_out(block, element);
    const bool even_ring = element.closed_ring && element.thinner_than_blur;
    if (even_ring) even_out_ring(layout);
    const Doubt doubt = doubt_of(block, element);
    const double radius = block.equatorial_radius_mm();
    const double middle_hour = ClockPosition::from_components(layout.sum_x == 0.0 && layout.sum_y == 0.0 ? 1.0 : layout.sum_x, layout.sum_y).hours();
    const SectionShape shape = shape_of(element);
    constexpr double a_third = 0.35, half = 0.5;
    ClockExtent extent = clock_extent(layout.volume, a_third);
    const bool ring = element.closed_ring || extent.span >= 11.2;
    SectionEdges edges = polar_edges(block, element, layout, doubt);
    const auto along_clock = [&](double hours) { return hours * std::numbers::pi / 6.0 * radius * std::sin(layout.polar); };
    const auto along_meridian = [&](const SectionEdges& e) { return (e.last - e.first) * PolarBlock::polar_step * radius; };
    bool radial = !ring && along_meridian(edges) > 1.3 * along_clock(extent.span);
    if (!ring && shape == SectionShape::rod) {
        // A rod is longer than it is wide; along its length it is even, and its ends are cut across.
        const ClockExtent across = clock_extent(layout.volume, half);
        const SectionEdges ends = ends_along_meridian(layout);
        radial = along_meridian(ends) > along_clock(across.span);
        if (radial) edges = {ends.first, ends.last, edges.peak}, extent = across;
    }
    const double arc_along_clock = along_clock(ring ? 12.0 : extent.span), arc_along_meridian = along_meridian(edges);

    // Section areas along the clock tell a moulded element (even) from a swollen mass (uneven).
    const std::vector<double> area = smoothed_round(layout.area, 2);
    double mean = 0.0, square = 0.0;
    int inside = 0;
    for (int c = 0; c < clocks; ++c) {
        const double into = std::fmod(PolarBlock::clock_hours(c) - extent.from + 24.0, 12.0);
        if (!ring && (into < 0.15 * extent.span || into > 0.85 * extent.span)) continue;
        mean += area[static_cast<std::size_t>(c)];
        square += area[static_cast<std::size_t>(c)] * area[static_cast<std::size_t>(c)];
        ++inside;
    }
    mean /= std::max(inside, 1);
    const double unevenness = mean > 0.0 ? std::sqrt(std::max(square / std::max(inside, 1) - mean * mean, 0.0)) / mean : 0.0;
    const ElementForm form = ring                                              ? ElementForm::encircling
                             : radial                                          ? ElementForm::radial
                             : unevenness > 0.3 && !element.thinner_than_blur  ? ElementForm::irregular
                                                                               : ElementForm::segmental;

    const double axis_deg = block.globe().axis_uncertainty.value();
    const double clock_doubt = std::hypot(std::hypot(torsion_degrees, 0.35 * axis_deg) / degrees_per_hour, std::hypot(doubt.surface + 0.2, doubt.unseen_end) / (radius * std::sin(layout.polar)) * to_degrees / degrees_per_hour);
    const auto hours = [&](double v, double u) { return Measured<ClockHours>::from_standard_uncertainty(ClockHours(v), ClockHours(u)); };
    // A long eye draws the fitted centre backwards along its axis (from the spread of errors in drawn anatomies, seed 4 of tests/accuracy.sh).
    constexpr double centre_along_axis_mm = 1.0;
    const double arc_doubt = std::hypot(std::hypot(axis_deg / to_degrees * radius * (ring ? 0.3 : 0.7), std::hypot(doubt.surface, centre_along_axis_mm)), std::hypot(doubt.unseen_edge, edges.doubt * PolarBlock::polar_step * radius));
    const auto length = [](double v, double u) { return Measured<Mm>::from_standard_uncertainty(Mm(v), Mm(u)); };
    const double anterior = block.limbus_arc_mm(PolarBlock::polar_first + edges.first * PolarBlock::polar_step);
    const double posterior = block.limbus_arc_mm(PolarBlock::polar_first + edges.last * PolarBlock::polar_step);
    const auto caliper = [&](double arc) { return 2.0 * radius * std::sin(0.5 * arc / radius); };

    // Surface of the element, from its own extents, times how far that surface may be off.
    const double along = form == ElementForm::radial ? arc_along_meridian : arc_along_clock;
    const double section_perimeter = 2.0 * (form == ElementForm::radial ? arc_along_clock : arc_along_meridian) + 2.0 * edges.peak;
    const double volume_doubt = doubt.of_bulk(section_perimeter * along, layout.total);
    // Of a mass that goes round half the eye by the fat it holds off, the rest may lie unseen where there is no fat; of an outline that is nearly round, where it is hidden by lid or gland.
    constexpr double half_round = 5.0, nearly_round = 9.0;
    const double unseen = !ring && extent.span > (element.edge_seen ? nearly_round : is_mass(element.appearance) ? half_round : 12.0) ? 12.0 / extent.span : 1.0;
    const Measured<Mm3> seen_volume = positive<Mm3>(layout.total, volume_doubt);

    // One section all round: the middle one stands for the largest, as the highest would be the most disturbed.
    const bool outlined_all_round = element.edge_seen && (ring || extent.span > nearly_round);
    const int best = clock_of_rank(area, even_ring ? 0.5 : outlined_all_round ? rank_of_largest(unevenness) : 1.0);
    std::vector<MeasuredSection> sections;
    for (int c = 0; c < clocks; c += 5) {
        const double into = std::fmod(PolarBlock::clock_hours(c) - extent.from + 24.0, 12.0);
        if (form != ElementForm::radial && (ring || into <= extent.span)) sections.push_back(half_plane_section(block, element, layout, area, c, doubt));
    }

    // How far the element's inner face lies below the fitted sclera, in its middle.
    double inner = 0.0, inner_weight = 0.0;
    for (int c = 0; c < clocks; ++c)
        for (int p = 0; p < polars; ++p) {
            const double t = layout.thickness[ElementLayout::column(c, p)];
            if (t < 0.75 * edges.peak) continue;
            double top = 0.0, weight = 0.0;
            for (int h = 0; h < PolarBlock::height_count; ++h) {
                const auto it = std::lower_bound(element.cells.begin(), element.cells.end(), PolarBlock::index(c, p, h), [](const ElementCell& e, std::size_t i) { return e.index < i; });
                if (it == element.cells.end() || it->index != PolarBlock::index(c, p, h)) continue;
                const double s = std::max(static_cast<double>(it->share), 0.0);
                top += s * PolarBlock::height_mm(h);
                weight += s;
            }
            if (weight <= 0.0) continue;
            inner += t * (top / weight - 0.5 * t);
            inner_weight += t;
        }
    const double inner_face = inner_weight > 0.0 ? inner / inner_weight : 0.0;
    const double indentation = std::max(0.0, -inner_face);
    const double indentation_doubt = std::hypot(block.globe().radius_uncertainty.value(), doubt.surface + 0.3);

    return {form,
            ring ? hours(0.0, 0.0) : hours(extent.from, clock_doubt),
            ring ? hours(0.0, 0.0) : hours(std::fmod(extent.from + extent.span, 12.0), clock_doubt),
            ring ? hours(12.0, 0.0) : unseen > 1.0 ? Measured<ClockHours>(ClockHours(extent.span), ClockHours(extent.span - 0.5), ClockHours(12.0)) : hours(extent.span, 1.4 * std::hypot(doubt.surface + 0.2, doubt.unseen_end) / (radius * std::sin(layout.polar)) * to_degrees / degrees_per_hour),
            middle_hour,
            length(anterior, arc_doubt),
            length(posterior, arc_doubt),
            length(caliper(anterior), arc_doubt),
            length(caliper(posterior), arc_doubt),
            Measured<Mm3>(seen_volume.value(), seen_volume.low(), Mm3(seen_volume.high().value() * unseen)),
            length(along * (radius + layout.height) / radius, std::hypot(1.4 * doubt.surface, 0.02 * along)),
            Measured<Mm>(Mm(indentation), Mm(std::max(0.0, indentation - 1.96 * indentation_doubt)), Mm(indentation + 1.96 * indentation_doubt)),
            // The nerve leaves about 3 mm nasal to the posterior pole; measured to the pole's rim, hence the doubt.
            length(std::max(0.0, (std::numbers::pi - (PolarBlock::polar_first + edges.last * PolarBlock::polar_step)) * radius - 3.0), std::hypot(arc_doubt, 1.5)),
            form == ElementForm::radial ? radial_section(block, radius, element, layout, edges, middle_hour, doubt) : half_plane_section(block, element, layout, area, best, doubt),
            std::move(sections),
            1 + extent.gaps,
            layout.polar,
            layout.height,
            std::nullopt,
            doubt.beside_bone};
}

ElementMeasurements without_sizes(ElementMeasurements measured, const std::string& why) {
    const Unmeasured unknown{why};
    measured.volume = unknown;
    measured.length = measured.indentation = unknown;
    measured.largest_section.width = measured.largest_section.thickness = unknown;
    measured.largest_section.area = unknown;
    measured.largest_section.contrast_thickness = unknown;
    measured.sections.clear();
    return measured;
}

}  // namespace perisclera
