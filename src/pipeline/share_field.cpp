// SPDX-License-Identifier: Apache-2.0
#include "share_field.h"

#include <algorithm>
#include <cmath>

namespace perisclera {

ShareField::ShareField(const PolarBlock& block, const FoundElement& element) : block_(block), share_(PolarBlock::cell_count, 0.0f) {
    for (const ElementCell& c : element.cells) share_[c.index] = c.share, most_ = std::max(most_, c.share);
}

double ShareField::level() const { return 0.5 * static_cast<double>(std::min(most_, 1.0f)); }

float ShareField::at(EyePoint p) const {
    const double clock = clock_of(p).hours() * 10.0, polar = (polar_angle(p) - PolarBlock::polar_first) / PolarBlock::polar_step;
    if (polar < 0.0 || polar > PolarBlock::polar_count - 1.0) return 0.0f;
    const double r = std::sqrt(p.x * p.x + p.y * p.y + p.z * p.z);
    const auto at_cell = [&](int c, int q, double weight, double& sum) {
        c = (c + PolarBlock::clock_count) % PolarBlock::clock_count;
        q = std::clamp(q, 0, PolarBlock::polar_count - 1);
        const double h = (r - block_.outer_radius_mm(c, q) - PolarBlock::height_first_mm) / PolarBlock::height_step_mm;
        if (h < 0.0 || h > PolarBlock::height_count - 1.0) return;
        const int low = std::min(static_cast<int>(h), PolarBlock::height_count - 2);
        const double f = h - low;
        sum += weight * ((1.0 - f) * static_cast<double>(share_[PolarBlock::index(c, q, low)]) + f * static_cast<double>(share_[PolarBlock::index(c, q, low + 1)]));
    };
    const int c0 = static_cast<int>(std::floor(clock)), p0 = static_cast<int>(std::floor(polar));
    const double fc = clock - c0, fp = polar - p0;
    double sum = 0.0;
    at_cell(c0, p0, (1 - fc) * (1 - fp), sum);
    at_cell(c0 + 1, p0, fc * (1 - fp), sum);
    at_cell(c0, p0 + 1, (1 - fc) * fp, sum);
    at_cell(c0 + 1, p0 + 1, fc * fp, sum);
    return static_cast<float>(sum);
}

}  // namespace perisclera
