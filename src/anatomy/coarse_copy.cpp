// SPDX-License-Identifier: Apache-2.0
#include "coarse_copy.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace perisclera {

namespace {

constexpr double darkest_ct = -250.0, brightest_ct = 350.0, shading_mm = 12.0;

}  // namespace

CoarseCopy::CoarseCopy(const VoxelGrid& grid, Modality modality, PatientPoint low, PatientPoint high)
    : low_(low), size_{1 + static_cast<int>((high.x - low.x) / step_mm), 1 + static_cast<int>((high.y - low.y) / step_mm), 1 + static_cast<int>((high.z - low.z) / step_mm)} {
    const std::size_t count = static_cast<std::size_t>(size_[0]) * static_cast<std::size_t>(size_[1]) * static_cast<std::size_t>(size_[2]);
    value_.assign(count, 0.0F);
    weight_.assign(count, 0.0F);
    constexpr double quarter = 0.25 * step_mm;
    for (int z = 0; z < size_[2]; ++z)
        for (int y = 0; y < size_[1]; ++y)
            for (int x = 0; x < size_[0]; ++x) {
                const PatientPoint p = node(x, y, z);
                if (!grid.geometry().contains(p)) continue;
                double sum = 0.0;
                for (int corner = 0; corner < 8; ++corner) {
                    const double v = static_cast<double>(grid.sample(p + PatientVector{corner & 1 ? quarter : -quarter, corner & 2 ? quarter : -quarter, corner & 4 ? quarter : -quarter}));
                    sum += modality == Modality::ct ? std::clamp(v, darkest_ct, brightest_ct) : v;
                }
                value_[index(x, y, z)] = static_cast<float>(sum / 8.0 * (modality == Modality::ct ? 0.01 : 1.0));
                weight_[index(x, y, z)] = 1.0F;
            }
    if (modality == Modality::ct) return;
    const double imaged_count = std::accumulate(weight_.begin(), weight_.end(), 0.0);
    const double mean = imaged_count > 0.0 ? std::accumulate(value_.begin(), value_.end(), 0.0) / imaged_count : 0.0;
    if (mean <= 0.0) return;
    const CoarseCopy shading = blurred(shading_mm);
    // What shows next to nothing, such as air, stays near zero.
    for (std::size_t i = 0; i < count; ++i) value_[i] = static_cast<float>(static_cast<double>(value_[i]) / (shading.value(i) + 0.3 * mean));
}

CoarseCopy CoarseCopy::blurred(double sigma_mm) const {
    CoarseCopy out = *this;
    std::vector<float> held = weight_;
    blur(out.value_, sigma_mm);
    blur(held, sigma_mm);
    // Near the images' end a mean is one-sided, and no mirror image of what lies well within.
    constexpr float least_held = 0.9F;
    for (std::size_t i = 0; i < held.size(); ++i) {
        out.value_[i] = weight_[i] > 0.5F ? out.value_[i] / std::max(held[i], 1e-6F) : 0.0F;
        out.weight_[i] = weight_[i] > 0.5F && held[i] > least_held ? 1.0F : 0.0F;
    }
    return out;
}

void CoarseCopy::blur(std::vector<float>& values, double sigma_mm) const {
    const double sigma = sigma_mm / step_mm;
    const int reach = std::max(1, static_cast<int>(std::ceil(2.5 * sigma)));
    std::vector<float> kernel;
    for (int k = -reach; k <= reach; ++k) kernel.push_back(static_cast<float>(std::exp(-0.5 * k * k / (sigma * sigma))));
    const float total = std::accumulate(kernel.begin(), kernel.end(), 0.0F);
    for (float& k : kernel) k /= total;
    std::vector<float> line;
    std::size_t stride = 1;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto length = static_cast<std::size_t>(size_[axis]);
        line.resize(length);
        for (std::size_t start = 0; start < values.size(); ++start) {
            if (start / stride % length != 0) continue;
            for (std::size_t k = 0; k < length; ++k) line[k] = values[start + k * stride];
            for (int k = 0; k < size_[axis]; ++k) {
                float sum = 0.0F;
                for (int j = std::max(-reach, -k); j <= std::min(reach, size_[axis] - 1 - k); ++j)
                    sum += kernel[static_cast<std::size_t>(j + reach)] * line[static_cast<std::size_t>(k + j)];
                values[start + static_cast<std::size_t>(k) * stride] = sum;
            }
        }
        stride *= length;
    }
}

bool CoarseCopy::sample(PatientPoint p, Sample& out) const {
    const PatientVector at = (p - low_) / step_mm;
    const int x = static_cast<int>(std::floor(at.x)), y = static_cast<int>(std::floor(at.y)), z = static_cast<int>(std::floor(at.z));
    if (x < 0 || y < 0 || z < 0 || x + 1 >= size_[0] || y + 1 >= size_[1] || z + 1 >= size_[2]) return false;
    const double fx = at.x - x, fy = at.y - y, fz = at.z - z;
    out = {0.0, {0, 0, 0}};
    for (int corner = 0; corner < 8; ++corner) {
        const bool right = corner & 1, down = corner & 2, up = corner & 4;
        const std::size_t i = index(x + right, y + down, z + up);
        if (!imaged(i)) return false;
        const double v = value(i), wx = right ? fx : 1.0 - fx, wy = down ? fy : 1.0 - fy, wz = up ? fz : 1.0 - fz;
        out.value += v * wx * wy * wz;
        out.gradient = out.gradient + PatientVector{(right ? v : -v) * wy * wz, (down ? v : -v) * wx * wz, (up ? v : -v) * wx * wy} / step_mm;
    }
    return true;
}

}  // namespace perisclera
