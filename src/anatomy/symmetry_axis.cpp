// SPDX-License-Identifier: Apache-2.0
#include "symmetry_axis.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace perisclera {

namespace {

constexpr double radians = std::numbers::pi / 180.0;
constexpr int clock_count = 24;

/// Sums over samples, and over the squared means of those on one ring.
struct Sums {
    double weights = 0.0, sum = 0.0, squares = 0.0, between = 0.0;
    void add(double v) { weights += 1.0, sum += v, squares += v * v; }
};

class Rings {
public:
    Rings(const VoxelGrid& grid, Modality modality, const GlobeFit& fit) : grid_(grid), ct_(modality == Modality::ct), fit_(fit) {}

    /// Share of the variance that rings about this axis explain. Two fluids lie about gravity, not about the axis: on either side of their level it counts from its own mean.
    [[nodiscard]] std::optional<double> explained(PatientVector axis) const {
        const PatientVector across = unit(cross(axis, std::abs(axis.z) < 0.7 ? PatientVector{0, 0, 1} : PatientVector{1, 0, 0})), other = cross(axis, across);
        constexpr double first_polar = 6.0, last_polar = 50.0, polar_step = 4.0, first_radius = 4.0, radius_step = 0.6, within_wall_mm = 1.8, fewest = 0.5 * clock_count;
        std::array<Sums, 2> sides;
        for (double polar = first_polar; polar <= last_polar; polar += polar_step) {
            std::array<PatientVector, clock_count> directions{};
            for (int k = 0; k < clock_count; ++k) {
                const double clock = 2.0 * std::numbers::pi * k / clock_count;
                directions[static_cast<std::size_t>(k)] = axis * std::cos(polar * radians) + (across * std::cos(clock) + other * std::sin(clock)) * std::sin(polar * radians);
            }
            for (double radius = first_radius; radius < fit_.radius_mm() - within_wall_mm; radius += radius_step) {
                const double weight = std::sin(polar * radians) * radius * radius;
                std::array<Sums, 2> ring;
                for (const PatientVector& d : directions) {
                    const PatientPoint p = fit_.centre + d * radius;
                    if (!grid_.geometry().contains(p, 0.5)) continue;
                    const double raw = static_cast<double>(grid_.sample(p)), v = ct_ ? std::clamp(raw, -100.0, 200.0) : raw;
                    if (const auto side = side_of(p)) ring[*side].add(v);
                }
                for (std::size_t side = 0; side < 2; ++side) {
                    const Sums& r = ring[side];
                    if (r.weights < fewest) continue;
                    Sums& s = sides[side];
                    s.weights += weight * r.weights;
                    s.sum += weight * r.sum;
                    s.squares += weight * r.squares;
                    s.between += weight * r.sum * r.sum / r.weights;
                }
            }
        }
        // What is even up to a small part of the contrast round the globe tells of no axis.
        const double uneven = 0.02 * fit_.contrast;
        double told = 0.0, total = 0.0;
        for (const Sums& s : sides) {
            if (s.weights <= 0.0) continue;
            const double mean_square = s.sum * s.sum / s.weights;
            told += s.between - mean_square;
            total += s.squares - mean_square + s.weights * uneven * uneven;
        }
        if (sides[0].weights + sides[1].weights <= 0.0) return std::nullopt;
        return total > 0.0 ? told / total : 0.0;
    }

private:
    /// Above or below the level of two fluids; neither where they share voxels.
    [[nodiscard]] std::optional<std::size_t> side_of(PatientPoint p) const {
        if (!fit_.fluids) return 0;
        const double depth = fit_.fluids->level.depth_of(p);
        if (std::abs(depth) < LayeredFluids::level_blur_mm) return std::nullopt;
        return depth < 0.0 ? 0 : 1;
    }

    const VoxelGrid& grid_;
    bool ct_;
    const GlobeFit& fit_;
};

}  // namespace

std::optional<SymmetryAxis> symmetry_axis(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector straight_ahead) {
    const Rings rings(grid, modality, fit);
    const PatientVector across = unit(cross(straight_ahead, std::abs(straight_ahead.z) < 0.7 ? PatientVector{0, 0, 1} : PatientVector{1, 0, 0})), other = cross(straight_ahead, across);
    constexpr double farthest_deg = 35.0, usual_gaze_deg = 20.0, gaze_weight = 0.02;
    const auto towards = [&](double u, double v) { return unit(straight_ahead + across * std::tan(u * radians) + other * std::tan(v * radians)); };
    const auto score = [&](double u, double v) {
        const auto e = rings.explained(towards(u, v));
        return e ? *e - gaze_weight * (u * u + v * v) / (usual_gaze_deg * usual_gaze_deg) : -1.0;
    };
    double best = -1.0, best_u = 0.0, best_v = 0.0;
    const auto look = [&](double u, double v) {
        if (u * u + v * v > farthest_deg * farthest_deg) return false;
        const double here = score(u, v);
        if (here <= best) return false;
        best = here, best_u = u, best_v = v;
        return true;
    };
    for (double u = -32.0; u <= 32.0; u += 8.0)
        for (double v = -32.0; v <= 32.0; v += 8.0) look(u, v);
    for (double step = 4.0; step > 0.2; step *= 0.5)
        for (int pass = 0; pass < 6; ++pass) {
            const double u = best_u, v = best_v;
            bool moved = false;
            for (const auto& [du, dv] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}}) moved = look(u + du * step, v + dv * step) || moved;
            if (!moved) break;
        }
    constexpr double least_explained = 0.25;  // less is unevenness
    const auto explained = rings.explained(towards(best_u, best_v));
    if (!explained || *explained < least_explained) return std::nullopt;
    return SymmetryAxis{towards(best_u, best_v), *explained};
}

}  // namespace perisclera
