// SPDX-License-Identifier: Apache-2.0
#include "perisclera/measurement/element_measurements.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <tuple>
#include <utility>

#include "bare_wall.h"
#include "perisclera/core/text.h"
#include "section_profile.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;
constexpr double torsion_degrees = 3.0;
constexpr double degrees_per_hour = 30.0, to_degrees = 180.0 / std::numbers::pi;

/// The element laid out: share summed over height for each column, and what goes with it.
struct Layout {
    std::vector<double> thickness;            ///< mm of full element along the ray, per column (clock, polar)
    std::vector<double> area;                 ///< of each half-plane, mm2, per clock
    std::vector<double> volume;               ///< per clock, mm3
    double total = 0.0, sum_x = 0.0, sum_y = 0.0, polar = 0.0, height = 0.0;
};

std::size_t column(int clock, int polar) { return static_cast<std::size_t>(clock * polars + polar); }

Layout lay_out(const PolarBlock& block, const FoundElement& element) {
    Layout out{std::vector<double>(static_cast<std::size_t>(clocks * polars)), std::vector<double>(clocks), std::vector<double>(clocks)};
    double placed = 0.0;
    for (const ElementCell& cell : element.cells) {
        const PolarCell c = PolarBlock::cell(cell.index);
        const auto share = static_cast<double>(cell.share);
        const double v = share * block.cell_volume_mm3(c), angle = PolarBlock::clock_hours(c.clock) * std::numbers::pi / 6.0;
        out.thickness[column(c.clock, c.polar)] += share * PolarBlock::height_step_mm;
        out.area[static_cast<std::size_t>(c.clock)] += share * block.cell_area_mm2(c);
        out.volume[static_cast<std::size_t>(c.clock)] += v;
        out.total += v;
        // Noise makes shares below nothing, which have no place.
        const double weight = std::max(v, 0.0);
        placed += weight;
        out.sum_x += weight * std::sin(angle);
        out.sum_y += weight * std::cos(angle);
        out.polar += weight * PolarBlock::polar_radians(c.polar);
        out.height += weight * PolarBlock::height_mm(c.height);
    }
    constexpr double least_mm3 = 1e-6;
    out.total = std::max(out.total, least_mm3);
    out.polar = placed > 0.0 ? out.polar / placed : 0.5 * std::numbers::pi;
    out.height = placed > 0.0 ? out.height / placed : 0.0;
    return out;
}

std::vector<double> smoothed_round(const std::vector<double>& v, int half) {
    std::vector<double> out(v.size());
    const int n = static_cast<int>(v.size());
    for (int i = 0; i < n; ++i) {
        double sum = 0.0;
        for (int k = -half; k <= half; ++k) sum += v[static_cast<std::size_t>((i + k + n) % n)];
        out[static_cast<std::size_t>(i)] = sum / (2 * half + 1);
    }
    return out;
}

/// A moulded band has one section all round: what muscle, lid or bone beside it hide or add in single clock hours does not count.
void even_out_ring(Layout& layout) {
    std::vector<double> sorted = smoothed_round(layout.volume, 2);
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    layout.total = std::max(*middle, 0.0) * clocks;
}

/// The clock index whose area has this rank among all (1: the largest).
int clock_of_rank(const std::vector<double>& area, double rank) {
    std::vector<int> order(area.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return area[static_cast<std::size_t>(a)] < area[static_cast<std::size_t>(b)]; });
    return order[static_cast<std::size_t>(rank * static_cast<double>(order.size() - 1))];
}

struct ClockExtent {
    double from, span;   ///< hours
    int gaps;            ///< empty stretches inside, at least half an hour long
};

/// Ends where the section falls to this share of the typical one, between columns by interpolation.
ClockExtent clock_extent(const std::vector<double>& volume, double share) {
    const std::vector<double> v = smoothed_round(volume, 1);
    std::vector<double> sorted = v;
    std::sort(sorted.begin(), sorted.end(), std::greater<>());
    double total = 0.0;
    for (const double x : sorted) total += std::max(x, 0.0);
    double half = 0.0, typical = 0.0;
    for (const double x : sorted) {
        half += x;
        typical = x;
        if (half >= 0.5 * total) break;
    }
    const double threshold = share * typical;
    // The longest empty stretch separates end from start.
    int best_length = 0, best_end = 0;
    int gaps = 0;
    for (int start = 0; start < clocks; ++start) {
        const auto filled = [&](int i) { return v[static_cast<std::size_t>(((i % clocks) + clocks) % clocks)] >= threshold; };
        if (filled(start) || !filled(start - 1)) continue;
        int length = 0;
        while (length < clocks && !filled(start + length)) ++length;
        if (length >= 5) ++gaps;
        if (length > best_length) best_length = length, best_end = start + length;
    }
    if (best_length < 8) return {0.0, 12.0, gaps};
    const auto at = [&](int i) { return v[static_cast<std::size_t>(((i % clocks) + clocks) % clocks)]; };
    const auto crossing = [&](int inside, int outside) {
        const double a = at(inside), b = at(outside);
        return a > b ? std::clamp((a - threshold) / (a - b), 0.0, 1.0) : 0.5;
    };
    const int first = best_end, last = best_end - best_length - 1 + clocks;
    const double from = first - crossing(first, first - 1), to = last + crossing(last, last + 1);
    return {std::fmod(0.1 * from + 12.0, 12.0), std::clamp(0.1 * (to - from), 0.1, 12.0), std::max(0, gaps - 1)};
}

struct Edges {
    double first, last;   ///< fractional index
    double peak;
    double doubt = 0.0, peak_doubt = 0.0;   ///< standard uncertainties that the section's shape leaves: of each edge and of the peak
};

/// What an element's section is like: moulded of even thickness between its edges, a round or oval rod, or grown as it may (common practice, no source); or a swollen body that
/// was outlined on all series.
enum class SectionShape { moulded, rod, grown, outlined };

SectionShape shape_of(const FoundElement& element) {
    if (element.edge_seen) return SectionShape::outlined;
    return element.appearance == Appearance::ct_bright ? SectionShape::moulded : element.appearance == Appearance::ct_dark ? SectionShape::rod : SectionShape::grown;
}

/// The stretch about the peak that is at least so high, its ends between columns by interpolation.
std::pair<double, double> stretch_above(const std::vector<double>& profile, int peak, double level) {
    const int n = static_cast<int>(profile.size());
    const auto at = [&](int i) { return profile[static_cast<std::size_t>(i)]; };
    int a = peak, b = peak;
    while (a > 0 && at(a - 1) >= level) --a;
    while (b + 1 < n && at(b + 1) >= level) ++b;
    double first = a, last = b;
    if (a > 0 && at(a) > at(a - 1)) first -= std::clamp((at(a) - level) / (at(a) - at(a - 1)), 0.0, 1.0);
    if (b + 1 < n && at(b + 1) < at(b)) last += std::clamp((at(b) - level) / (at(b) - at(b + 1)), 0.0, 1.0);
    return {first, last};
}

/// Edges of a profile about its highest point: by the section that would look like this, or where it is half as high, moved outwards as far as its roundness asks.
Edges edges_of(const std::vector<double>& profile, SectionShape shape, double blur_cells) {
    const auto top = std::max_element(profile.begin(), profile.end());
    const int n = static_cast<int>(profile.size()), peak = static_cast<int>(top - profile.begin());
    if (shape == SectionShape::outlined || shape == SectionShape::rod) {
        const auto fit = shape == SectionShape::rod ? fit_rod(profile, blur_cells) : fit_section(profile, blur_cells);
        if (!fit) return {static_cast<double>(peak), static_cast<double>(peak), 0.0};
        return {fit->first, fit->last, shape == SectionShape::rod ? *top : fit->thickness, fit->edge_doubt, fit->thickness_doubt};
    }
    auto [first, last] = stretch_above(profile, peak, 0.5 * *top);
    if (shape == SectionShape::moulded) {
        // Half of its even height, which noise and what lies beside it lift in single columns; blur moves no edge from there.
        std::vector<double> within(profile.begin() + static_cast<std::ptrdiff_t>(std::ceil(first)), profile.begin() + static_cast<std::ptrdiff_t>(std::floor(last)) + 1);
        const auto middle = within.begin() + static_cast<std::ptrdiff_t>(within.size() / 2);
        std::nth_element(within.begin(), middle, within.end());
        std::tie(first, last) = stretch_above(profile, peak, 0.5 * *middle);
        return {first, last, *top};
    }
    // What grew is wider than where it is half as thick. How round it is shows in its fill: area over peak times half-level
    // width is 1 for a rectangle and pi/4 / cos(30 deg) = 0.907 for an ellipse, whose whole width is 1.155 of that at half level.
    double area = 0.0;
    for (int i = std::max(0, static_cast<int>(std::ceil(first)) - 6); i <= std::min(n - 1, static_cast<int>(std::floor(last)) + 6); ++i) area += std::max(profile[static_cast<std::size_t>(i)], 0.0);
    const double fill = area / std::max(*top * (last - first), 1e-9);
    const double roundness = std::clamp((1.0 - fill) / 0.093, 0.0, 1.0);
    const double widen = 0.5 * (last - first) * 0.155 * roundness;
    return {first - widen, last + widen, *top};
}

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
    const double scale = std::hypot(e.core_signal_uncertainty / contrast, e.thinner_than_blur ? 0.12 : 0.03);
    return {0.05 + 0.07 * block.largest_spacing_mm(), mass ? std::hypot(scale, unseen_share) : scale, mass ? 1.8 : on_mr ? 1.5 : 0.0,
            on_mr ? 4.5 : mass ? 2.5 : 0.0, mass ? 1.5 : moulded_and_thick ? 0.5 : 0.0, e.thinner_than_blur};
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
std::vector<double> meridian_profile(const Layout& layout, int clock, int either_side) {
    std::vector<double> thickness(polars);
    for (int p = 0; p < polars; ++p)
        for (int k = -either_side; k <= either_side; ++k) thickness[static_cast<std::size_t>(p)] += layout.thickness[column((clock + k + clocks) % clocks, p)] / (2 * either_side + 1);
    return thickness;
}

MeasuredSection half_plane_section(const PolarBlock& block, const FoundElement& element, const Layout& layout, const std::vector<double>& area, int clock, const Doubt& doubt) {
    const SectionShape shape = shape_of(element);
    const Edges edges = edges_of(meridian_profile(layout, clock, shape == SectionShape::outlined ? 2 : 1), shape, blur_cells(block, element, doubt, clock, layout.polar));
    const double cell = PolarBlock::polar_step * block.equatorial_radius_mm(), width = (edges.last - edges.first) * cell;
    const double a = std::max(area[static_cast<std::size_t>(clock)], 0.0), t = edges.peak;
    const double area_doubt = std::hypot(doubt.of_bulk(2.0 * (width + t), a), doubt.of_section * a);
    return {PolarBlock::clock_hours(clock), positive<Mm>(width, std::hypot(doubt.of_width(width), 2.0 * edges.doubt * cell)),
            positive<Mm>(t, std::hypot(doubt.of_thickness(t), edges.peak_doubt)), positive<Mm2>(a, area_doubt), Unmeasured{say("reason.no_ct_number")}};
}

/// The cut across a radial element: at the polar angle where it is largest, away from its ends, where what lies beyond them may have been taken in.
MeasuredSection radial_section(const PolarBlock& block, double radius, const FoundElement& element, const Layout& layout, const Edges& ends, double middle_hour, const Doubt& doubt) {
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
    for (int c = 0; c < clocks; ++c) profile[static_cast<std::size_t>((c - middle_clock + clocks + clocks / 2) % clocks)] = layout.thickness[column(c, best)];
    const Edges edges = edges_of(profile, shape_of(element), blur_cells(block, element, doubt, middle_clock, PolarBlock::polar_radians(best), true));
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

/// Edges towards and away from the limbus, as fractional polar indices, over the columns of the element.
Edges polar_edges(const PolarBlock& block, const FoundElement& element, const Layout& layout, const Doubt& doubt) {
    const SectionShape shape = shape_of(element);
    const bool outlined = shape == SectionShape::outlined;
    std::vector<double> first, last, doubts;
    double most = 0.0;
    for (const double t : layout.thickness) most = std::max(most, t);
    for (int c = 0; c < clocks; c += outlined ? 3 : 1) {
        const std::vector<double> profile = meridian_profile(layout, c, outlined ? 2 : 0);
        if (*std::max_element(profile.begin(), profile.end()) < 0.35 * most) continue;
        const Edges e = edges_of(profile, shape, blur_cells(block, element, doubt, c, layout.polar));
        first.push_back(e.first), last.push_back(e.last), doubts.push_back(e.doubt);
    }
    // A swollen body is wider in its middle than at its ends.
    constexpr double of_wide_part = 0.15;
    const double off_middle = outlined ? 0.5 - of_wide_part : 0.0;
    return {ranked(first, 0.5 - off_middle), ranked(last, 0.5 + off_middle), most, ranked(doubts, 0.5)};
}

/// Ends of a rod that lies along the meridian, by all its columns together, as clock_extent tells the ends of one along the clock: single columns are noisy.
Edges ends_along_meridian(const Layout& layout) {
    std::vector<double> bulk(polars);
    for (int p = 0; p < polars; ++p)
        for (int c = 0; c < clocks; ++c) bulk[static_cast<std::size_t>(p)] += layout.thickness[column(c, p)] * std::sin(PolarBlock::polar_radians(p));
    const auto top = std::max_element(bulk.begin(), bulk.end());
    const auto [first, last] = stretch_above(bulk, static_cast<int>(top - bulk.begin()), 0.5 * *top);
    return {first, last, *top};
}

}  // namespace

ElementMeasurements measure_element(const PolarBlock& block, const FoundElement& element) {
    Layout layout = lay_out(block, element);
    const bool even_ring = element.closed_ring && element.thinner_than_blur;
    if (even_ring) even_out_ring(layout);
    const Doubt doubt = doubt_of(block, element);
    const double radius = block.equatorial_radius_mm();
    const double middle_hour = ClockPosition::from_components(layout.sum_x == 0.0 && layout.sum_y == 0.0 ? 1.0 : layout.sum_x, layout.sum_y).hours();
    const SectionShape shape = shape_of(element);
    constexpr double a_third = 0.35, half = 0.5;
    ClockExtent extent = clock_extent(layout.volume, a_third);
    const bool ring = element.closed_ring || extent.span >= 11.2;
    Edges edges = polar_edges(block, element, layout, doubt);
    const auto along_clock = [&](double hours) { return hours * std::numbers::pi / 6.0 * radius * std::sin(layout.polar); };
    const auto along_meridian = [&](const Edges& e) { return (e.last - e.first) * PolarBlock::polar_step * radius; };
    bool radial = !ring && along_meridian(edges) > 1.3 * along_clock(extent.span);
    if (!ring && shape == SectionShape::rod) {
        // A rod is longer than it is wide; along its length it is even, and its ends are cut across.
        const ClockExtent across = clock_extent(layout.volume, half);
        const Edges ends = ends_along_meridian(layout);
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

    // One section all round: the middle one stands for the largest, as the highest would be the most disturbed. Of an outline all
    // round the uppermost tenth is left aside, since muscle or gland beside it may have been taken in there.
    const double rank = even_ring ? 0.5 : ring && element.edge_seen ? 0.9 : 1.0;
    const int best = clock_of_rank(area, rank);
    std::vector<MeasuredSection> sections;
    for (int c = 0; c < clocks; c += 5) {
        const double into = std::fmod(PolarBlock::clock_hours(c) - extent.from + 24.0, 12.0);
        if (form != ElementForm::radial && (ring || into <= extent.span)) sections.push_back(half_plane_section(block, element, layout, area, c, doubt));
    }

    // How far the element's inner face lies below the fitted sclera, in its middle.
    double inner = 0.0, inner_weight = 0.0;
    for (int c = 0; c < clocks; ++c)
        for (int p = 0; p < polars; ++p) {
            const double t = layout.thickness[column(c, p)];
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
            layout.height};
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
