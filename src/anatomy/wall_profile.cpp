// SPDX-License-Identifier: Apache-2.0
#include "wall_profile.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

namespace perisclera {

namespace {

// Sclera has hardly any signal in any usual sequence, retina and choroid that of soft tissue: as a share of the brighter of vitreous and fat.
constexpr double wall_share = 0.2, wall_share_spread = 0.15;
// What three homogeneous layers leave unexplained of the profile (muscle, folds, a wall of uneven thickness), as a share of its range.
constexpr double unexplained_share = 0.03;

/// A sharp step seen through the blur.
double blurred_step(double distance, double blur) { return 0.5 * std::erfc(-distance / (blur * std::numbers::sqrt2)); }

struct Layers {
    double outer_mm, wall_mm, blur_mm;
};

/// Twice the negative logarithm of the likelihood at the best signals of the three layers.
double misfit(const WallProfile& profile, const Layers& layers, double brightest, double noise) {
    vnl_matrix<double> normal(3, 3, 0.0);
    vnl_vector<double> right(3, 0.0);
    double squares = 0.0;
    const auto add = [&](const std::array<double, 3>& row, double value, double spread) {
        for (unsigned r = 0; r < 3; ++r) {
            right[r] += row[r] * value / (spread * spread);
            for (unsigned c = 0; c < 3; ++c) normal(r, c) += row[r] * row[c] / (spread * spread);
        }
        squares += value * value / (spread * spread);
    };
    for (std::size_t i = 0; i < profile.signal.size(); ++i) {
        const double at = profile.first_mm + profile.step_mm * static_cast<double>(i) - layers.outer_mm;
        const double behind_inner = blurred_step(at + layers.wall_mm, layers.blur_mm), behind_outer = blurred_step(at, layers.blur_mm);
        add({1.0 - behind_inner, behind_inner - behind_outer, behind_outer}, profile.signal[i], noise);
    }
    add({0.0, 1.0, 0.0}, wall_share * brightest, wall_share_spread * brightest);
    const vnl_vector<double> signals = vnl_cholesky(normal, vnl_cholesky::quiet).solve(right);
    return squares - dot_product(signals, right);
}

}  // namespace

OuterFace outer_face(const WallProfile& profile, double least_blur_mm) {
    const double brightest = std::max(profile.signal.front(), profile.fat);
    const auto [low, high] = std::minmax_element(profile.signal.begin(), profile.signal.end());
    // Neighbouring samples err together over about a millimetre.
    const double noise = std::max(unexplained_share * (*high - *low), 1e-9) * std::sqrt(1.0 / profile.step_mm);
    struct Tried {
        double outer_mm, misfit;
    };
    std::vector<Tried> tried;
    constexpr double outer_step_mm = 0.05;
    for (int wall = -2; wall <= 2; ++wall)
        for (double blur = std::max(least_blur_mm, 0.2); blur < least_blur_mm + 1.2; blur += 0.1)
            for (double outer = -0.8; outer < 2.0; outer += outer_step_mm)
                tried.push_back({outer, misfit(profile, {outer, usual_wall_mm + wall * usual_wall_spread_mm, blur}, brightest, noise) + wall * wall});
    const double least = std::min_element(tried.begin(), tried.end(), [](const Tried& a, const Tried& b) { return a.misfit < b.misfit; })->misfit;
    double sum = 0.0, mean = 0.0, square = 0.0;
    for (const Tried& t : tried) {
        const double share = std::exp(-0.5 * (t.misfit - least));
        sum += share;
        mean += share * t.outer_mm;
        square += share * t.outer_mm * t.outer_mm;
    }
    mean /= sum;
    // Dark contents whose signal rises to something well below fat: the dark wall does not stand out against what surrounds it, and the
    // layers cannot be told apart (one inversion-prepared T1 of a real head read 1.2 mm less than T2 of the same eyes).
    constexpr double not_fat = 0.7, hidden_wall_mm = 0.6;
    const bool hidden = profile.signal.front() < not_fat * profile.fat && profile.signal.back() < not_fat * profile.fat;
    return {mean, std::hypot(std::sqrt(std::max(square / sum - mean * mean, 0.0)), hidden ? hidden_wall_mm : 0.0)};
}

}  // namespace perisclera
