// SPDX-License-Identifier: Apache-2.0
// Least squares between the images and their mirror image in three figures (place, yaw, roll), with weights by which what has no counterpart counts little
// (Geman S, McClure DE, Bull Int Stat Inst 1987;52:5-21). The uncertainty is how far halves of the head disagree.
#include "perisclera/anatomy/head_midplane.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "coarse_copy.h"

namespace perisclera {

namespace {

using Three = std::array<double, 3>;

constexpr double left_out_mm = 22.0;   ///< about each globe: the globe, what lies on it and what may push it
constexpr double beside_mm = 75.0, front_mm = 30.0, behind_mm = 75.0, above_mm = 40.0;

/// About the point midway between the globes: moved to the left, then turned.
struct Plane {
    PatientPoint origin;
    double place = 0.0, yaw = 0.0, roll = 0.0;   ///< mm, radians
    [[nodiscard]] PatientVector normal() const { return unit(PatientVector{1.0, -yaw, roll}); }
    [[nodiscard]] PatientPoint point() const { return origin + PatientVector{place, 0, 0}; }
};

/// Normal equations.
struct Equations {
    std::array<Three, 3> a{};
    Three b{};
    void add(const Three& slope, double residual, double weight) {
        for (std::size_t i = 0; i < 3; ++i) {
            b[i] -= weight * slope[i] * residual;
            for (std::size_t j = 0; j < 3; ++j) a[i][j] += weight * slope[i] * slope[j];
        }
    }
    /// No step where they are singular.
    [[nodiscard]] vnl_vector<double> solved() const {
        const vnl_cholesky solver(vnl_matrix<double>(a.front().data(), 3, 3), vnl_cholesky::quiet);
        return solver.rank_deficiency() == 0 ? solver.solve(vnl_vector<double>(b.data(), 3)) : vnl_vector<double>(3, 0.0);
    }
};

struct Pass {
    Equations equations{};
    double spread = 0.0;        ///< robust, of the differences
    double correlation = 0.0;
    std::size_t count = 0;
};

/// The whole, and three pairs of halves, each of which tells the plane by itself.
enum class Part { whole, upper, lower, front, back, inner, outer };
bool holds(Part part, PatientVector from, double beside) {
    constexpr double deep_mm = 20.0, far_mm = 35.0;
    switch (part) {
        case Part::whole: return true;
        case Part::upper: return from.z >= 0.0;
        case Part::lower: return from.z < 0.0;
        case Part::front: return from.y < deep_mm;
        case Part::back: return from.y >= deep_mm;
        case Part::inner: return std::abs(beside) < far_mm;
        case Part::outer: return std::abs(beside) >= far_mm;
    }
    return true;
}

Pass compare(const CoarseCopy& image, const Plane& plane, const std::array<PatientPoint, 2>& globes, std::optional<double> spread, Part part) {
    Pass pass;
    const PatientVector n = plane.normal();
    const PatientPoint on = plane.point();
    const auto near_globe = [&](PatientPoint p) {
        return std::any_of(globes.begin(), globes.end(), [&](PatientPoint g) { return dot(p - g, p - g) < left_out_mm * left_out_mm; });
    };
    std::vector<float> differences;
    double sum = 0, sum_other = 0, squares = 0, squares_other = 0, products = 0;
    for (int z = 0; z < image.size()[2]; ++z)
        for (int y = 0; y < image.size()[1]; ++y)
            for (int x = 0; x < image.size()[0]; ++x) {
                const std::size_t i = image.index(x, y, z);
                if (!image.imaged(i)) continue;
                const PatientPoint p = image.node(x, y, z);
                const PatientVector from = p - on;
                const double beside = dot(from, n);
                // Each pair once.
                if (beside < 0.0 || !holds(part, from, beside)) continue;
                const PatientPoint q = p + n * (-2.0 * beside);
                CoarseCopy::Sample other;
                if (near_globe(p) || near_globe(q) || !image.sample(q, other)) continue;
                const double value = image.value(i), residual = value - other.value;
                ++pass.count;
                sum += value, sum_other += other.value, squares += value * value, squares_other += other.value * other.value, products += value * other.value;
                differences.push_back(static_cast<float>(std::abs(residual)));
                if (!spread) continue;
                // A plane moved by 1 moves the mirror image by 2; one turned moves it by the lever.
                const auto turned = [&](PatientVector by) { return -2.0 * dot(other.gradient, n * dot(from, by) + by * beside); };
                const Three slope{-2.0 * dot(other.gradient, n) * n.x, -turned({0, -1, 0}), -turned({0, 0, 1})};
                const double t = residual / *spread, w = 1.0 / ((1.0 + t * t) * (1.0 + t * t));
                pass.equations.add(slope, residual, w);
            }
    if (differences.empty()) return pass;
    // Half of what is compared is air against air or bone against bone, and tells nothing of how unlike tissues are.
    const auto usual = differences.begin() + static_cast<std::ptrdiff_t>(0.8 * static_cast<double>(differences.size()));
    std::nth_element(differences.begin(), usual, differences.end());
    pass.spread = std::max(0.05, 2.0 * static_cast<double>(*usual));
    const auto count = static_cast<double>(pass.count);
    const double variance = squares / count - sum * sum / (count * count), variance_other = squares_other / count - sum_other * sum_other / (count * count);
    if (variance > 0.0 && variance_other > 0.0) pass.correlation = (products / count - sum * sum_other / (count * count)) / std::sqrt(variance * variance_other);
    return pass;
}

/// Steps until it stands; nothing where it runs away or too little is imaged.
std::optional<Plane> settled(const CoarseCopy& image, Plane plane, const std::array<PatientPoint, 2>& globes, Part part = Part::whole) {
    constexpr int most_steps = 12;
    constexpr double longest_mm = 3.0, widest = 0.08, farthest = 0.6;
    constexpr std::size_t least_nodes = 750;
    double spread = compare(image, plane, globes, std::nullopt, part).spread;
    for (int step = 0; step < most_steps; ++step) {
        const Pass pass = compare(image, plane, globes, spread, part);
        if (pass.count < least_nodes) return std::nullopt;
        spread = pass.spread;
        // The slope is that of the residual, so the step is -(JtJ)^-1 Jtr.
        const vnl_vector<double> by = pass.equations.solved();
        plane.place += std::clamp(by[0], -longest_mm, longest_mm);
        plane.yaw += std::clamp(by[1], -widest, widest);
        plane.roll += std::clamp(by[2], -widest, widest);
        if (std::abs(plane.yaw) > farthest || std::abs(plane.roll) > farthest) return std::nullopt;
        if (std::abs(by[0]) < 0.02 && std::abs(by[1]) < 5e-4 && std::abs(by[2]) < 5e-4) break;
    }
    return plane;
}

}  // namespace

std::optional<HeadMidplane> find_midplane(const VoxelGrid& grid, Modality modality, const std::array<PatientPoint, 2>& globes) {
    const PatientVector across = globes[1] - globes[0];
    const PatientPoint middle = globes[0] + across * 0.5;
    const CoarseCopy copy(grid, modality, middle - PatientVector{beside_mm, front_mm, above_mm}, middle + PatientVector{beside_mm, behind_mm, above_mm});
    const CoarseCopy coarse = copy.blurred(5.0), fine = copy.blurred(2.0);
    // Twice begun, by the globes and by the scanner, since either may mislead.
    std::optional<Plane> best;
    double alike = -1.0;
    for (const Plane& start : {Plane{middle, 0.0, -across.y / across.x, across.z / across.x}, Plane{middle}}) {
        const auto plane = settled(coarse, start, globes);
        if (!plane) continue;
        const double correlation = compare(coarse, *plane, globes, std::nullopt, Part::whole).correlation;
        if (correlation > alike) alike = correlation, best = plane;
    }
    if (best) best = settled(fine, *best, globes);
    constexpr double least_alike = 0.6;
    if (!best || compare(fine, *best, globes, std::nullopt, Part::whole).correlation < least_alike) return std::nullopt;

    // The mean of two halves is known to half their difference.
    Three squares{};
    constexpr std::array<std::array<Part, 2>, 3> halves{{{Part::upper, Part::lower}, {Part::front, Part::back}, {Part::inner, Part::outer}}};
    int told = 0;
    for (const auto& [one, other] : halves) {
        const auto a = settled(fine, *best, globes, one), b = settled(fine, *best, globes, other);
        if (!a || !b) continue;
        ++told;
        const Three apart{a->place - b->place, a->yaw - b->yaw, a->roll - b->roll};
        for (std::size_t i = 0; i < 3; ++i) squares[i] += 0.25 * apart[i] * apart[i];
    }
    if (told == 0) return std::nullopt;
    // Below this no plane is known: a tenth of the copy's step over the head's half breadth.
    constexpr double least_mm = 0.15, least_deg = 0.2, degree = std::numbers::pi / 180.0;
    const auto spread = [&](std::size_t i) { return std::sqrt(squares[i] / told); };
    return HeadMidplane{best->point(), best->normal(), Mm(std::hypot(spread(0), least_mm)), Degrees(std::hypot(spread(1) / degree, least_deg)), Degrees(std::hypot(spread(2) / degree, least_deg))};
}

}  // namespace perisclera
