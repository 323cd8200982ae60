// SPDX-License-Identifier: Apache-2.0
#include "mirror_likeness.h"

#include <cmath>

namespace perisclera {

std::optional<double> mirror_likeness(const CoarseBlock& block, PatientPoint right, PatientPoint left) {
    constexpr double step_mm = 3.0, widest_mm = 45.0, reach_mm = 39.0, ball_mm = 16.0;   // with the blur of the block
    constexpr int fewest = 300;
    const PatientVector across = unit(left - right), back = unit(cross(across, {0, 0, 1})), up = cross(across, back);
    const PatientPoint middle = right + (left - right) * 0.5;
    double a = 0.0, b = 0.0, aa = 0.0, bb = 0.0, ab = 0.0;
    int count = 0;
    for (double beside = step_mm; beside <= widest_mm; beside += step_mm)
        for (double behind = -reach_mm; behind <= reach_mm; behind += step_mm)
            for (double above = -reach_mm; above <= reach_mm; above += step_mm) {
                const PatientPoint between = middle + back * behind + up * above, p = between + across * beside, q = between - across * beside;
                if (length(p - left) < ball_mm) continue;
                const auto one = block.sample(p);
                if (!one) continue;
                const auto other = block.sample(q);
                if (!other) continue;
                ++count, a += *one, b += *other, aa += *one * *one, bb += *other * *other, ab += *one * *other;
            }
    if (count < fewest) return std::nullopt;
    const double var_a = aa - a * a / count, var_b = bb - b * b / count;
    const double even = 1e-6 * (aa + bb);
    if (!(var_a > even && var_b > even)) return std::nullopt;
    return (ab - a * b / count) / std::sqrt(var_a * var_b);
}

}  // namespace perisclera
