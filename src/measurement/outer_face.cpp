// SPDX-License-Identifier: Apache-2.0
#include "outer_face.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "median.h"
#include "section_edges.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;

/// What lies in the columns, each with its neighbours along the clock.
class Columns {
public:
    explicit Columns(const FoundElement& element) : share_(static_cast<std::size_t>(clocks * polars)), placed_(share_), height_(share_) {
        for (const ElementCell& cell : element.cells) {
            const PolarCell at = PolarBlock::cell(cell.index);
            const std::size_t k = index(at.clock, at.polar);
            // Noise makes shares below nothing, which have no place.
            const auto share = static_cast<double>(cell.share), placed = std::max(0.0, share);
            share_[k] += share, placed_[k] += placed, height_[k] += placed * PolarBlock::height_mm(at.height);
        }
    }
    [[nodiscard]] double thickness(int clock, int polar) const { return mean(share_, clock, polar) * PolarBlock::height_step_mm; }
    /// Precondition: thickness above 0.
    [[nodiscard]] double middle(int clock, int polar) const { return mean(height_, clock, polar) / mean(placed_, clock, polar); }

private:
    [[nodiscard]] static std::size_t index(int clock, int polar) { return static_cast<std::size_t>(((clock + clocks) % clocks) * polars + polar); }
    [[nodiscard]] static double mean(const std::vector<double>& v, int clock, int polar) {
        return (v[index(clock - 1, polar)] + v[index(clock, polar)] + v[index(clock + 1, polar)]) / 3.0;
    }
    std::vector<double> share_, placed_, height_;
};

}  // namespace

std::vector<FacePlace> outer_face(const PolarBlock& block, const FoundElement& element, const ElementMeasurements& measured) {
    constexpr double half = 0.5, of_rod = 0.3, of_grown = 0.35;   // blur leaves half the height at a square end; a rod thins out towards its sides, what has grown towards its ends
    constexpr int alike_clocks = 5, alike_polars = 4;             // half an hour to either side; 2 mm of what lies along the meridian. Farther round, the axis being known to some degrees, edges drift
    const Columns columns(element);
    const SectionShape shape = shape_of(element);
    const bool rod = shape == SectionShape::rod, one_make = rod || shape == SectionShape::moulded, radial = measured.form == ElementForm::radial;
    std::vector<double> highest(clocks), there;
    for (int c = 0; c < clocks; ++c)
        for (int p = 0; p < polars; ++p)
            highest[static_cast<std::size_t>(c)] = std::max(highest[static_cast<std::size_t>(c)], columns.thickness(c, p));
    const double most = *std::max_element(highest.begin(), highest.end());
    for (const double h : highest)
        if (h > of_rod * most) there.push_back(h);
    if (there.empty()) return {};
    const double typical = median(there), thickness_mm = measured.largest_section.thickness.measured()->value().value();
    const double by_shares = highest[static_cast<std::size_t>(std::lround(measured.largest_section.clock_hour * 10.0) % clocks)];
    const double correction = by_shares > 0.0 ? std::clamp(thickness_mm / by_shares, 0.5, 2.0) : 1.0;
    const double across = rod ? of_rod : half, along = one_make ? half : of_grown;

    /// Height of the face of a column: of what is of one make as of those before and behind it that are not thinned by an end.
    const auto face_height = [&](int c, int p) -> std::optional<double> {
        std::vector<double> thickness, middle;
        double thickest = columns.thickness(c, p);
        const int reach = one_make && radial ? alike_polars : 0;
        const auto each = [&](const auto& of) {
            for (int k = -reach; k <= reach; ++k)
                if (const int q = radial ? p + k : p; q >= 0 && q < polars) of(radial ? c : c + k, q);
        };
        each([&](int cc, int q) { thickest = std::max(thickest, columns.thickness(cc, q)); });
        each([&](int cc, int q) {
            if (const double t = columns.thickness(cc, q); t > 0.0 && t >= half * thickest)
                thickness.push_back(t), middle.push_back(columns.middle(cc, q));
        });
        if (thickest <= 0.0) return std::nullopt;
        return median(middle) + 0.5 * (shape == SectionShape::moulded ? thickness_mm : correction * median(thickness));
    };
    /// Where the face of each clock position begins and ends along the meridian, between columns; nothing where none is.
    std::vector<std::optional<std::pair<double, double>>> ends(clocks);
    for (int c = 0; c < clocks; ++c) {
        const double peak = highest[static_cast<std::size_t>(c)], least = peak * (radial ? along : across);
        if (peak <= 0.0 || peak < typical * (radial ? across : along)) continue;
        int first = polars, last = -1;
        for (int p = 0; p < polars; ++p)
            if (columns.thickness(c, p) >= least) first = std::min(first, p), last = p;
        const auto end = [&](int p, int side) {
            const double here = columns.thickness(c, p), beside = p + side < 0 || p + side >= polars ? 0.0 : columns.thickness(c, p + side);
            return p + side * (here - least) / (here - beside);
        };
        ends[static_cast<std::size_t>(c)] = std::pair{end(first, -1), end(last, 1)};
    }
    std::vector<FacePlace> face;
    for (int c = 0; c < clocks; ++c) {
        if (!ends[static_cast<std::size_t>(c)]) continue;
        std::vector<double> firsts, lasts;
        const int reach = one_make && !radial ? alike_clocks : 0;
        for (int k = -reach; k <= reach; ++k)
            if (const auto& e = ends[static_cast<std::size_t>((c + k + clocks) % clocks)]) firsts.push_back(e->first), lasts.push_back(e->second);
        const double first = median(firsts), last = median(lasts);
        // The middle of a section of one make is clear of what lies beside it: lid against air looks as dark as a sponge.
        std::vector<double> middles;
        if (reach > 0)
            for (int k = -reach; k <= reach; ++k)
                if (ends[static_cast<std::size_t>((c + k + clocks) % clocks)])
                    for (int p = static_cast<int>(std::ceil(0.75 * first + 0.25 * last)); p <= static_cast<int>(0.25 * first + 0.75 * last); ++p)
                        if (p >= 0 && p < polars && columns.thickness(c + k, p) >= half * typical) middles.push_back(columns.middle(c + k, p));
        const auto height_at = [&](double polar) -> std::optional<double> {
            if (!middles.empty()) {
                const double off = (2.0 * polar - first - last) / std::max(last - first, 1e-6);
                return median(middles) + 0.5 * thickness_mm * (rod ? std::sqrt(std::max(0.0, 1.0 - off * off)) : 1.0);
            }
            // What lies at the very end has the height of the column before it.
            return face_height(
                c, std::clamp(static_cast<int>(std::lround(std::clamp(polar, first + half, std::max(first + half, last - half)))), 0, polars - 1));
        };
        const auto add = [&](double polar) {
            const std::optional<double> height = height_at(polar);
            if (!height) return;
            const PatientPoint point =
                block.patient_point(PolarBlock::clock_hours(c), PolarBlock::polar_first + polar * PolarBlock::polar_step, *height);
            face.push_back({point, unit(point - block.globe().frame.origin())});
        };
        for (double polar = first; polar < last; polar += 1.0) add(polar);
        add(last);
    }
    return face;
}

}  // namespace perisclera
