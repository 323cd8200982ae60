// SPDX-License-Identifier: Apache-2.0
#include "coarse_block.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/quantile.h"
#include "soft_tissue.h"

namespace perisclera {

std::optional<double> CoarseBlock::sample(PatientPoint p) const {
    const PatientVector d = (p - origin) / step_mm;
    const int x = static_cast<int>(std::floor(d.x)), y = static_cast<int>(std::floor(d.y)), z = static_cast<int>(std::floor(d.z));
    if (x < 0 || y < 0 || z < 0 || x + 1 >= n[0] || y + 1 >= n[1] || z + 1 >= n[2]) return std::nullopt;
    const double fx = d.x - x, fy = d.y - y, fz = d.z - z;
    double sum = 0.0;
    for (int k = 0; k < 8; ++k) {
        const int i = k & 1, j = (k >> 1) & 1, l = k >> 2;
        const std::size_t node = at(x + i, y + j, z + l);
        if (!imaged[node]) return std::nullopt;
        sum += static_cast<double>(value[node]) * (i ? fx : 1.0 - fx) * (j ? fy : 1.0 - fy) * (l ? fz : 1.0 - fz);
    }
    return sum;
}

double CoarseBlock::share_below(double share) const {
    std::vector<double> v;
    for (std::size_t i = 0; i < value.size(); i += 7)
        if (imaged[i]) v.push_back(static_cast<double>(value[i]));
    return v.empty() ? 0.0 : quantile(std::move(v), share);
}

CoarseBlock coarse_copy(const VoxelGrid& grid, Modality modality) {
    const auto& g = grid.geometry();
    const auto size = g.size();
    std::array<double, 3> low{1e9, 1e9, 1e9}, high{-1e9, -1e9, -1e9};
    for (int corner = 0; corner < 8; ++corner) {
        const PatientPoint p = g.to_patient({corner & 1 ? size[0] - 1.0 : 0.0, corner & 2 ? size[1] - 1.0 : 0.0, corner & 4 ? size[2] - 1.0 : 0.0});
        const std::array<double, 3> c{p.x, p.y, p.z};
        for (std::size_t a = 0; a < 3; ++a) low[a] = std::min(low[a], c[a]), high[a] = std::max(high[a], c[a]);
    }
    CoarseBlock block;
    block.origin = {low[0], low[1], low[2]};
    for (std::size_t a = 0; a < 3; ++a) block.n[a] = static_cast<int>((high[a] - low[a]) / CoarseBlock::step_mm) + 1;
    const auto count = static_cast<std::size_t>(block.n[0]) * static_cast<std::size_t>(block.n[1]) * static_cast<std::size_t>(block.n[2]);
    block.value.resize(count);
    block.imaged.resize(count);
    constexpr double q = CoarseBlock::step_mm / 4.0;
    for (int z = 0; z < block.n[2]; ++z)
        for (int y = 0; y < block.n[1]; ++y)
            for (int x = 0; x < block.n[0]; ++x) {
                const PatientPoint p = block.position(x, y, z);
                const std::size_t i = block.at(x, y, z);
                block.imaged[i] = g.contains(p, 0.5);
                if (!block.imaged[i]) continue;
                double sum = 0.0;
                for (int k = 0; k < 8; ++k)
                    sum += clipped(static_cast<double>(grid.sample(p + PatientVector{k & 1 ? q : -q, k & 2 ? q : -q, k & 4 ? q : -q})), modality);
                block.value[i] = static_cast<float>(sum / 8.0);
            }
    return block;
}

double edge_scale(const CoarseBlock& block, Modality modality) {
    if (modality == Modality::ct) return 12.0;
    const double bright = block.share_below(0.97);
    return bright > 0.0 ? std::max(0.06 * bright, 1e-6) : 1.0;
}

}  // namespace perisclera
