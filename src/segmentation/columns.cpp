// SPDX-License-Identifier: Apache-2.0
#include "columns.h"

#include <algorithm>

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;

ColumnMask spread(const ColumnMask& mask, int clock_reach, int polar_reach, char wanted) {
    ColumnMask along_clock = mask, out;
    for (std::size_t i = 0; i < column_count; ++i) {
        const ColumnAt at = column_at(i);
        for (int d = -clock_reach; d <= clock_reach && along_clock[i] != wanted; ++d)
            if (mask[column((at.clock + d + clocks) % clocks, at.polar)] == wanted) along_clock[i] = wanted;
    }
    out = along_clock;
    for (std::size_t i = 0; i < column_count; ++i) {
        const ColumnAt at = column_at(i);
        for (int p = std::max(0, at.polar - polar_reach); p <= std::min(polars - 1, at.polar + polar_reach) && out[i] != wanted; ++p)
            if (along_clock[column(at.clock, p)] == wanted) out[i] = wanted;
    }
    return out;
}

}  // namespace

ColumnMask widened(const ColumnMask& mask, int clock_reach, int polar_reach) { return spread(mask, clock_reach, polar_reach, 1); }

ColumnMask narrowed(const ColumnMask& mask, int clock_reach, int polar_reach) { return spread(mask, clock_reach, polar_reach, 0); }

std::vector<std::vector<std::size_t>> connected_columns(const ColumnMask& mask) {
    std::vector<std::vector<std::size_t>> parts;
    ColumnMask open = mask;
    for (std::size_t start = 0; start < column_count; ++start) {
        if (!open[start]) continue;
        std::vector<std::size_t> part{start};
        open[start] = 0;
        for (std::size_t k = 0; k < part.size(); ++k) {
            const ColumnAt at = column_at(part[k]);
            const auto visit = [&](int clock, int polar) {
                if (polar < 0 || polar >= polars) return;
                const std::size_t i = column((clock + clocks) % clocks, polar);
                if (!open[i]) return;
                open[i] = 0;
                part.push_back(i);
            };
            visit(at.clock - 1, at.polar);
            visit(at.clock + 1, at.polar);
            visit(at.clock, at.polar - 1);
            visit(at.clock, at.polar + 1);
        }
        std::sort(part.begin(), part.end());
        parts.push_back(std::move(part));
    }
    return parts;
}

}  // namespace perisclera
