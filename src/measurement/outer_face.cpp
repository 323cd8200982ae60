// SPDX-License-Identifier: Apache-2.0
#include "outer_face.h"

#include <algorithm>
#include <cmath>

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

std::vector<FacePlace> outer_face(const PolarBlock& block, const FoundElement& element, const MeasuredSection& largest, double thickness_mm) {
    constexpr double of_thickest = 0.35, half = 0.5, of_rod = 0.3;   // a moulded section ends at half its height, a rod thins out towards its sides
    const Columns columns(element);
    const auto highest = [&](int clock) {
        double most = 0.0;
        for (int p = 0; p < polars; ++p) most = std::max(most, columns.thickness(clock, p));
        return most;
    };
    double thickest = 0.0;
    for (int c = 0; c < clocks; ++c) thickest = std::max(thickest, highest(c));
    const SectionShape shape = shape_of(element);
    const double by_shares = highest(static_cast<int>(std::lround(largest.clock_hour * 10.0)) % clocks);
    const double correction = by_shares > 0.0 ? std::clamp(thickness_mm / by_shares, 0.5, 2.0) : 1.0;
    std::vector<FacePlace> face;
    for (int c = 0; c < clocks; ++c) {
        const double peak = highest(c), least = peak * (shape == SectionShape::rod ? of_rod : half);
        if (peak <= 0.0 || peak < of_thickest * thickest) continue;
        const auto add = [&](double polar, int column) {
            const double thickness = shape == SectionShape::moulded ? thickness_mm : correction * columns.thickness(c, column);
            const PatientPoint point = block.patient_point(PolarBlock::clock_hours(c), PolarBlock::polar_first + polar * PolarBlock::polar_step, columns.middle(c, column) + 0.5 * thickness);
            face.push_back({point, unit(point - block.globe().frame.origin())});
        };
        for (int p = 0; p < polars; ++p) {
            const double here = columns.thickness(c, p);
            if (here < least) continue;
            add(p, p);
            for (const int side : {-1, 1}) {
                const double beside = p + side < 0 || p + side >= polars ? here : columns.thickness(c, p + side);
                if (beside < least) add(p + side * (here - least) / (here - beside), p);
            }
        }
    }
    return face;
}

}  // namespace perisclera
