// SPDX-License-Identifier: Apache-2.0
#include "share_field.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;

std::size_t column_of(int clock, int polar) { return static_cast<std::size_t>(clock * polars + polar); }

/// Linear between the four columns round a position; `value` is asked for a column's clock and polar cell.
template <class Value>
double between_columns(double clock, double polar, const Value& value) {
    const int c0 = static_cast<int>(std::floor(clock)), p0 = static_cast<int>(std::floor(polar));
    const double fc = clock - c0, fp = polar - p0;
    const auto at = [&](int c, int p) { return value((c + clocks) % clocks, std::clamp(p, 0, polars - 1)); };
    return (1 - fc) * ((1 - fp) * at(c0, p0) + fp * at(c0, p0 + 1)) + fc * ((1 - fp) * at(c0 + 1, p0) + fp * at(c0 + 1, p0 + 1));
}

bool outside(double polar) { return polar < 0.0 || polar > polars - 1.0; }

}  // namespace

ShareField::ShareField(const PolarBlock& block, const FoundElement& element)
    : block_(block), share_(PolarBlock::cell_count, 0.0f), column_most_(static_cast<std::size_t>(clocks * polars), 0.0f), nearest_(1e9), farthest_(0.0) {
    for (const ElementCell& c : element.cells) {
        share_[c.index] = c.share;
        most_ = std::max(most_, c.share);
        const PolarCell cell = PolarBlock::cell(c.index);
        float& most = column_most_[column_of(cell.clock, cell.polar)];
        most = std::max(most, c.share);
        const double r = block.outer_radius_mm(cell.clock, cell.polar) + PolarBlock::height_mm(cell.height);
        constexpr double beyond = 1.5;   // mm: a cell, and what the radius changes to the next column
        nearest_ = std::min(nearest_, r - beyond);
        farthest_ = std::max(farthest_, r + beyond);
    }
}

float ShareField::at(EyePoint p) const {
    const double r = std::sqrt(p.x * p.x + p.y * p.y + p.z * p.z);
    if (r < nearest_ || r > farthest_) return 0.0f;
    const double clock = clock_of(p).hours() * 10.0, polar = (polar_angle(p) - PolarBlock::polar_first) / PolarBlock::polar_step;
    if (outside(polar)) return 0.0f;
    return static_cast<float>(between_columns(clock, polar, [&](int c, int q) {
        const double h = (r - block_.outer_radius_mm(c, q) - PolarBlock::height_first_mm) / PolarBlock::height_step_mm;
        if (h < 0.0 || h > PolarBlock::height_count - 1.0) return 0.0;
        const int low = std::min(static_cast<int>(h), PolarBlock::height_count - 2);
        const double f = h - low;
        return (1.0 - f) * static_cast<double>(share_[PolarBlock::index(c, q, low)]) + f * static_cast<double>(share_[PolarBlock::index(c, q, low + 1)]);
    }));
}

float ShareField::most_in_column(double clock, double polar) const {
    if (outside(polar)) return 0.0f;
    return static_cast<float>(between_columns(clock, polar, [&](int c, int q) { return static_cast<double>(column_most_[column_of(c, q)]); }));
}

}  // namespace perisclera
