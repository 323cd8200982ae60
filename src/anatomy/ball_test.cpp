// SPDX-License-Identifier: Apache-2.0
#include "ball_test.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"
#include "sphere_fit.h"

namespace perisclera {

namespace {

constexpr std::size_t ray_count = 200, step_count = 35, first_step = 11, alike = 7;   // no globe ends before the first step
constexpr double step_mm = 0.5, usual_radius_mm = 11.5;
constexpr double smallest_mm = 7.0;   // a surface is fitted only where there is an inside to read
constexpr int fewest_ends = 60;

const std::vector<PatientVector>& rays() {
    static const std::vector<PatientVector> directions = even_directions<PatientLps>(static_cast<int>(ray_count));
    return directions;
}

/// Of each ray, itself and the six nearest.
const std::vector<std::array<std::size_t, alike>>& neighbours() {
    static const auto found = [] {
        std::vector<std::array<std::size_t, alike>> all(ray_count);
        for (std::size_t i = 0; i < ray_count; ++i) {
            std::vector<std::pair<double, std::size_t>> by_angle;
            for (std::size_t j = 0; j < ray_count; ++j) by_angle.emplace_back(-dot(rays()[i], rays()[j]), j);
            std::sort(by_angle.begin(), by_angle.end());
            for (std::size_t k = 0; k < alike; ++k) all[i][k] = by_angle[k].second;
        }
        return all;
    }();
    return found;
}

/// What the rays meet. Means over neighbouring rays suppress noise and leave a surface across the rays sharp.
struct RayProfiles {
    std::vector<double> raw, mean;
    std::vector<std::size_t> imaged;   ///< of each ray, steps up to where it leaves the images; of a globe cut by them the centre may lie without
    [[nodiscard]] double at(std::size_t ray, std::size_t k) const { return mean[ray * step_count + k]; }
};

RayProfiles profiles_from(const VoxelGrid& grid, Modality modality, PatientPoint centre) {
    RayProfiles p{std::vector<double>(ray_count * step_count), std::vector<double>(ray_count * step_count), std::vector<std::size_t>(ray_count, step_count)};
    for (std::size_t i = 0; i < ray_count; ++i)
        for (std::size_t k = 0; k < step_count; ++k) {
            const PatientPoint at = centre + rays()[i] * (static_cast<double>(k) * step_mm);
            if (k >= first_step && p.imaged[i] == step_count && !grid.geometry().contains(at)) p.imaged[i] = k;
            p.raw[i * step_count + k] = clipped(static_cast<double>(grid.sample(at)), modality);
        }
    for (std::size_t i = 0; i < ray_count; ++i)
        for (std::size_t k = 0; k < step_count; ++k) {
            double sum = 0.0;
            for (const std::size_t j : neighbours()[i]) sum += p.raw[j * step_count + k];
            p.mean[i * step_count + k] = sum / static_cast<double>(alike);
        }
    return p;
}

struct Inside {
    double middle, spread;
};
Inside inside_of(const std::vector<double>& profiles) {
    std::vector<double> values;
    for (const std::size_t k : {4u, 8u, 12u})
        for (std::size_t i = 0; i < ray_count; i += 3) values.push_back(profiles[i * step_count + k]);
    const double middle = quantile(values, 0.5);
    for (double& v : values) v = std::abs(v - middle);
    return {middle, 1.4826 * quantile(std::move(values), 0.5)};
}

/// Where the inside ends along a ray, mm; nothing if it does not before the images or the reach do.
std::optional<double> end_of_inside(const RayProfiles& p, std::size_t ray, double middle, double departure) {
    for (std::size_t k = first_step; k + 1 < step_count && k < p.imaged[ray]; ++k) {
        const double after = std::abs(p.at(ray, k) - middle), before = std::abs(p.at(ray, k - 1) - middle), r = static_cast<double>(k) * step_mm;
        if (after > departure) return std::clamp(r - step_mm * (after - departure) / std::max(after - before, 1e-9), r - step_mm, r);
    }
    return std::nullopt;
}

/// Single rays place a surface best, where noise lets them.
Ball placed_without_blur(const VoxelGrid& grid, Modality modality, const Ball& ball, const GlobeCandidate& candidate, double departure) {
    constexpr double farthest_mm = 1.0, close_mm = 0.5;
    if (3.0 * candidate.interior_spread > departure) return ball;
    RayProfiles single = profiles_from(grid, modality, ball.centre);
    single.mean = single.raw;
    std::vector<PatientPoint> ends;
    std::vector<double> weights;
    for (std::size_t i = 0; i < ray_count; ++i)
        if (const auto end = end_of_inside(single, i, candidate.interior_mean, departure)) {
            const double off = (*end - ball.radius) / close_mm;
            ends.push_back(ball.centre + rays()[i] * *end);
            weights.push_back(1.0 / (1.0 + off * off * off * off));
        }
    if (static_cast<int>(ends.size()) < fewest_ends) return ball;
    const Ball placed = fit_sphere(ends, weights, ball);
    return placed.radius >= smallest_mm && length(placed.centre - ball.centre) < farthest_mm && std::abs(placed.radius - ball.radius) < farthest_mm ? placed : ball;
}

/// Share of an edge of full strength near the radius, either way, over all rays.
double shell_at(const RayProfiles& p, double radius, double scale) {
    const int middle = static_cast<int>(std::lround(radius / step_mm)), last = static_cast<int>(step_count) - 3;
    double sum = 0.0;
    for (std::size_t i = 0; i < ray_count; ++i) {
        double steepest = 0.0;
        for (int k = std::max(2, middle - 4); k <= std::min(last, middle + 4); ++k)
            steepest = std::max(steepest, std::abs(p.at(i, static_cast<std::size_t>(k) + 2) - p.at(i, static_cast<std::size_t>(k) - 2)));
        sum += std::min(1.0, steepest / (4.0 * step_mm * scale));
    }
    return sum / static_cast<double>(ray_count);
}

}  // namespace

GlobeCandidate test_ball(const VoxelGrid& grid, Modality modality, PatientPoint start, double scale) {
    constexpr double largest_mm = 16.0, farthest_mm = 6.0, on_sphere_mm = 1.2;
    constexpr double least_departure_hu = 15.0, least_departure_scale = 1.3;
    Ball ball{start, usual_radius_mm};
    GlobeCandidate candidate{start, Mm(usual_radius_mm), 0.0, 0.0, 0.0};
    for (int round = 0; round < 4; ++round) {
        const RayProfiles profiles = profiles_from(grid, modality, ball.centre);
        const Inside inside = inside_of(profiles.mean);
        candidate.interior_mean = inside.middle;
        candidate.interior_spread = inside_of(profiles.raw).spread;
        const double departure = std::max(3.0 * inside.spread, modality == Modality::ct ? least_departure_hu : least_departure_scale * scale);
        std::vector<PatientPoint> ends;
        std::vector<double> distances;
        int usable = 0;
        for (std::size_t i = 0; i < ray_count; ++i) {
            const auto end = end_of_inside(profiles, i, inside.middle, departure);
            if (end || profiles.imaged[i] + 1 >= step_count) ++usable;
            if (!end) continue;
            ends.push_back(ball.centre + rays()[i] * *end);
            distances.push_back(*end);
        }
        // At first nothing is known of the size.
        if (round == 0 && static_cast<int>(ends.size()) >= fewest_ends) ball.radius = std::max(smallest_mm, quantile(distances, 0.5));
        std::vector<double> weights;
        int on_sphere = 0;
        for (const double distance : distances) {
            const double off = distance - ball.radius;
            weights.push_back(1.0 / (1.0 + off * off * off * off));
            if (std::abs(off) < on_sphere_mm) ++on_sphere;
        }
        candidate.roundness = usable < fewest_ends ? 0.0 : static_cast<double>(on_sphere) / static_cast<double>(ray_count);
        candidate.shell = shell_at(profiles, ball.radius, scale);
        if (static_cast<int>(ends.size()) < fewest_ends) break;
        const Ball next = fit_sphere(ends, weights, ball);
        if (next.radius < smallest_mm || next.radius > largest_mm || length(next.centre - start) > farthest_mm) break;
        ball = next;
    }
    for (int round = 0; round < 4 && candidate.roundness > 0.0; ++round) ball = placed_without_blur(grid, modality, ball, candidate, modality == Modality::ct ? departure_hu : 2.5 * scale);
    candidate.centre = ball.centre;
    candidate.inner_radius = Mm(ball.radius);
    candidate.beyond_tissue = modality == Modality::ct && (candidate.interior_mean <= darkest_hu || candidate.interior_mean >= brightest_hu);
    return candidate;
}

double shell_of(const VoxelGrid& grid, Modality modality, PatientPoint centre, double radius_mm, double scale) {
    return shell_at(profiles_from(grid, modality, centre), radius_mm, scale);
}

double bone_round(const VoxelGrid& grid, const GlobeCandidate& ball) {
    constexpr double bone_hu = 350.0, from_mm = -1.0, to_mm = 3.0;
    int directions = 0, with_bone = 0;
    for (const PatientVector& d : rays()) {
        bool imaged = true, bone = false;
        for (double off = from_mm; off <= to_mm && imaged; off += step_mm) {
            const PatientPoint p = ball.centre + d * (ball.inner_radius.value() + off);
            imaged = grid.geometry().contains(p);
            bone = bone || (imaged && static_cast<double>(grid.sample(p)) > bone_hu);
        }
        if (!imaged) continue;
        ++directions;
        if (bone) ++with_bone;
    }
    return directions > 0 ? static_cast<double>(with_bone) / directions : 0.0;
}

}  // namespace perisclera
