// SPDX-License-Identifier: Apache-2.0
#include "mirror_likeness.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera {

std::optional<double> mirror_likeness(const CoarseBlock& block, PatientPoint right, PatientPoint left, double step_mm, double fewest_mm3) {
    constexpr double widest_mm = 45.0, reach_mm = 39.0, ball_mm = 14.0;
    const double fewest = fewest_mm3 / (step_mm * step_mm * step_mm);
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

namespace {

/// The best there is with a fellow on that side, wherever a turned head may have it.
double best_likeness(const CoarseBlock& block, PatientPoint globe, double sign) {
    constexpr double most_turned_deg = 30.0, turn_step_deg = 7.5, coarse_step_mm = 6.0, much_mm3 = 60000.0;
    double best = 0.0;
    for (const double apart : {55.0, 60.0, 65.0, 70.0})
        for (double yaw = -most_turned_deg; yaw <= most_turned_deg; yaw += turn_step_deg)
            for (double roll = -most_turned_deg; roll <= most_turned_deg; roll += turn_step_deg) {
                const double a = yaw * std::numbers::pi / 180.0, b = roll * std::numbers::pi / 180.0;
                const PatientPoint fellow = globe + PatientVector{sign * std::cos(a) * std::cos(b), std::sin(a) * std::cos(b), std::sin(b)} * apart;
                best = std::max(best, mirror_likeness(block, sign > 0.0 ? globe : fellow, sign > 0.0 ? fellow : globe, coarse_step_mm, much_mm3).value_or(0.0));
            }
    return best;
}

}  // namespace

std::optional<Eye> side_by_mirror(const CoarseBlock& block, PatientPoint globe) {
    constexpr double plain = 0.75, plainly_better = 0.15;
    const double to_left = best_likeness(block, globe, 1.0), to_right = best_likeness(block, globe, -1.0);
    if (std::max(to_left, to_right) < plain || std::abs(to_left - to_right) < plainly_better) return std::nullopt;
    return to_left > to_right ? Eye::right : Eye::left;
}

}  // namespace perisclera
