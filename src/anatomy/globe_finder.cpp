// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/globe_finder.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "layered_ball.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"
#include "sphere_fit.h"

namespace perisclera {

namespace {

constexpr double vote_step_mm = 2.0;
constexpr double smallest_radius_mm = 8.5, largest_radius_mm = 14.5;

/// A coarse isotropic copy, axes along LPS, so that turned and sagittal series need no special case.
struct CoarseBlock {
    std::array<int, 3> n{};
    PatientPoint origin{0, 0, 0};
    std::vector<float> value;
    std::vector<char> inside;
    [[nodiscard]] std::size_t at(int x, int y, int z) const {
        return (static_cast<std::size_t>(z) * static_cast<std::size_t>(n[1]) + static_cast<std::size_t>(y)) * static_cast<std::size_t>(n[0]) + static_cast<std::size_t>(x);
    }
    [[nodiscard]] PatientPoint position(int x, int y, int z) const {
        return origin + PatientVector{x * vote_step_mm, y * vote_step_mm, z * vote_step_mm};
    }
};

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
    for (std::size_t a = 0; a < 3; ++a) block.n[a] = static_cast<int>((high[a] - low[a]) / vote_step_mm) + 1;
    const auto count = static_cast<std::size_t>(block.n[0]) * static_cast<std::size_t>(block.n[1]) * static_cast<std::size_t>(block.n[2]);
    block.value.resize(count);
    block.inside.resize(count);
    constexpr double q = vote_step_mm / 4.0;
    for (int z = 0; z < block.n[2]; ++z)
        for (int y = 0; y < block.n[1]; ++y)
            for (int x = 0; x < block.n[0]; ++x) {
                const PatientPoint p = block.position(x, y, z);
                const std::size_t i = block.at(x, y, z);
                block.inside[i] = g.contains(p, 0.5);
                if (!block.inside[i]) continue;
                double sum = 0.0;
                for (int k = 0; k < 8; ++k)
                    sum += clipped(static_cast<double>(grid.sample(p + PatientVector{k & 1 ? q : -q, k & 2 ? q : -q, k & 4 ? q : -q})), modality);
                block.value[i] = static_cast<float>(sum / 8.0);
            }
    return block;
}

/// The signal that counts as a full-strength edge, per mm.
double edge_scale(const CoarseBlock& block, Modality modality) {
    if (modality == Modality::ct) return 12.0;
    std::vector<double> v;
    for (std::size_t i = 0; i < block.value.size(); i += 7)
        if (block.inside[i]) v.push_back(static_cast<double>(block.value[i]));
    return v.empty() ? 1.0 : std::max(quantile(std::move(v), 0.97) * 0.06, 1e-6);
}

std::vector<PatientPoint> voted_centres(const CoarseBlock& block, Modality modality) {
    const double scale = edge_scale(block, modality);
    std::vector<float> votes(block.value.size(), 0.0f);
    for (int z = 1; z + 1 < block.n[2]; ++z)
        for (int y = 1; y + 1 < block.n[1]; ++y)
            for (int x = 1; x + 1 < block.n[0]; ++x) {
                const auto v = [&](int dx, int dy, int dz) { return static_cast<double>(block.value[block.at(x + dx, y + dy, z + dz)]); };
                const auto in = [&](int dx, int dy, int dz) { return block.inside[block.at(x + dx, y + dy, z + dz)] != 0; };
                if (!(in(-1, 0, 0) && in(1, 0, 0) && in(0, -1, 0) && in(0, 1, 0) && in(0, 0, -1) && in(0, 0, 1))) continue;
                const PatientVector gradient = PatientVector{v(1, 0, 0) - v(-1, 0, 0), v(0, 1, 0) - v(0, -1, 0), v(0, 0, 1) - v(0, 0, -1)} / (2.0 * vote_step_mm);
                const double strength = length(gradient);
                if (strength < 0.3 * scale) continue;
                const PatientVector along = gradient / (strength * vote_step_mm);
                const auto weight = static_cast<float>(std::min(1.0, strength / scale));
                for (const double sign : {-1.0, 1.0})
                    for (double r = smallest_radius_mm + 1.0; r <= largest_radius_mm; r += 1.0) {
                        const int vx = static_cast<int>(std::lround(x + sign * r * along.x)), vy = static_cast<int>(std::lround(y + sign * r * along.y)),
                                  vz = static_cast<int>(std::lround(z + sign * r * along.z));
                        if (vx < 0 || vy < 0 || vz < 0 || vx >= block.n[0] || vy >= block.n[1] || vz >= block.n[2]) continue;
                        votes[block.at(vx, vy, vz)] += weight;
                    }
            }
    // Votes spread by an edge's angular error: gather each 3 x 3 x 3 neighbourhood.
    struct Peak {
        float votes;
        int x, y, z;
    };
    std::vector<float> gathered(votes.size(), 0.0f);
    for (int z = 1; z + 1 < block.n[2]; ++z)
        for (int y = 1; y + 1 < block.n[1]; ++y)
            for (int x = 1; x + 1 < block.n[0]; ++x) {
                float sum = 0.0f;
                for (int dz = -1; dz <= 1; ++dz)
                    for (int dy = -1; dy <= 1; ++dy)
                        for (int dx = -1; dx <= 1; ++dx) sum += votes[block.at(x + dx, y + dy, z + dz)];
                gathered[block.at(x, y, z)] = sum;
            }
    std::vector<Peak> peaks;
    for (int z = 1; z + 1 < block.n[2]; ++z)
        for (int y = 1; y + 1 < block.n[1]; ++y)
            for (int x = 1; x + 1 < block.n[0]; ++x) {
                const float here = gathered[block.at(x, y, z)];
                bool top = here > 0.0f;
                for (int dz = -1; dz <= 1 && top; ++dz)
                    for (int dy = -1; dy <= 1 && top; ++dy)
                        for (int dx = -1; dx <= 1 && top; ++dx) top = gathered[block.at(x + dx, y + dy, z + dz)] <= here;
                if (top) peaks.push_back({here, x, y, z});
            }
    std::stable_sort(peaks.begin(), peaks.end(), [](const Peak& a, const Peak& b) { return a.votes > b.votes; });
    if (peaks.size() > 150) peaks.resize(150);
    std::vector<PatientPoint> centres;
    for (const Peak& p : peaks) centres.push_back(block.position(p.x, p.y, p.z));
    return centres;
}

GlobeCandidate test_ball(const VoxelGrid& grid, Modality modality, PatientPoint start, double scale) {
    static const std::vector<PatientVector> rays = even_directions<PatientLps>(200);
    static const std::vector<PatientVector> inner = even_directions<PatientLps>(40);
    const auto value = [&](PatientPoint p) { return clipped(static_cast<double>(grid.sample(p)), modality); };
    Ball ball{start, 11.5};
    double mean = 0.0, spread = 0.0, roundness = 0.0;
    constexpr double step = 0.5;
    for (int round = 0; round < 4; ++round) {
        std::vector<double> interior;
        for (const double r : {2.0, 4.0, 6.0})
            for (const PatientVector& d : inner) interior.push_back(value(ball.centre + d * r));
        mean = quantile(interior, 0.5);
        for (double& v : interior) v = std::abs(v - mean);
        spread = 1.4826 * quantile(std::move(interior), 0.5);
        const double departure = std::max(3.0 * spread, modality == Modality::ct ? departure_hu : 2.5 * scale);
        std::vector<PatientPoint> ends;
        std::vector<double> weights;
        int usable = 0, on_sphere = 0;
        for (const PatientVector& d : rays) {
            double previous = value(ball.centre + d * 5.0);
            bool outside = false;
            for (double r = 5.5; r <= 16.0; r += step) {
                const PatientPoint p = ball.centre + d * r;
                if (!grid.geometry().contains(p)) {
                    outside = true;
                    break;
                }
                const double v = value(p);
                if (std::abs(v - mean) > departure) {
                    const double before = std::abs(previous - mean), after = std::abs(v - mean);
                    const double end = r - step * (after - departure) / std::max(after - before, 1e-9);
                    ends.push_back(ball.centre + d * std::clamp(end, r - step, r));
                    const double off = (end - ball.radius) / 1.0;
                    weights.push_back(1.0 / (1.0 + off * off * off * off));
                    if (std::abs(end - ball.radius) < 1.0) ++on_sphere;
                    break;
                }
                previous = v;
            }
            if (!outside) ++usable;
        }
        roundness = usable < 60 ? 0.0 : static_cast<double>(on_sphere) / static_cast<double>(rays.size());
        if (ends.size() < 60) break;
        const Ball next = fit_sphere(ends, weights, ball);
        if (next.radius < 7.0 || next.radius > 16.0 || length(next.centre - start) > 8.0) break;
        ball = next;
    }
    return {ball.centre, Mm(ball.radius), mean, spread, roundness, modality == Modality::ct && (mean <= darkest_hu || mean >= brightest_hu)};
}

/// Water, oil, gas, heavy liquid and blood fill eyes, fat does not (common practice, no source).
bool holds_fat(const GlobeCandidate& c, Modality modality) {
    constexpr double least_hu = -150.0, most_hu = -25.0;
    return modality == Modality::ct && c.interior_mean > least_hu && c.interior_mean < most_hu;
}

/// How well a ball passes as a globe by itself, 0..1.
double single_score(const GlobeCandidate& c) {
    const double off = (c.inner_radius.value() - 11.3) / 1.8;
    return c.roundness * std::exp(-0.5 * off * off);
}

/// Balls with a level inside, among centres that are none without.
void add_layered(const VoxelGrid& grid, Modality modality, double scale, const std::vector<PatientPoint>& centres, std::vector<GlobeCandidate>& candidates) {
    constexpr double least_roundness = 0.45;
    constexpr PatientVector supine{0.0, 1.0, 0.0};
    const auto value = [&](PatientPoint p) { return clipped(static_cast<double>(grid.sample(p)), modality); };
    const auto imaged = [&](PatientPoint p) { return grid.geometry().contains(p); };
    for (const PatientPoint& centre : centres) {
        const auto c = test_layered_ball(value, imaged, centre, supine, modality == Modality::ct ? departure_hu : 2.5 * scale);
        if (!c || c->roundness < least_roundness) continue;
        const bool known = std::any_of(candidates.begin(), candidates.end(), [&](const GlobeCandidate& k) { return length(k.centre - c->centre) < 6.0 && k.roundness >= c->roundness; });
        if (!known) candidates.push_back(*c);
    }
}

}  // namespace

std::vector<GlobeCandidate> globe_candidates(const VoxelGrid& grid, Modality modality) {
    const CoarseBlock block = coarse_copy(grid, modality);
    const double scale = edge_scale(block, modality);
    const std::vector<PatientPoint> centres = voted_centres(block, modality);
    std::vector<GlobeCandidate> candidates;
    for (const PatientPoint& centre : centres) {
        const GlobeCandidate c = test_ball(grid, modality, centre, scale);
        const bool known = std::any_of(candidates.begin(), candidates.end(), [&](const GlobeCandidate& k) { return length(k.centre - c.centre) < 2.0; });
        if (!known && c.roundness > 0.25 && !holds_fat(c, modality)) candidates.push_back(c);
    }
    const auto best_first = [](const GlobeCandidate& a, const GlobeCandidate& b) { return single_score(a) > single_score(b); };
    std::stable_sort(candidates.begin(), candidates.end(), best_first);
    if (pair_of_globes(candidates).right) return candidates;
    add_layered(grid, modality, scale, centres, candidates);
    std::stable_sort(candidates.begin(), candidates.end(), best_first);
    return candidates;
}

FoundGlobes pair_of_globes(const std::vector<GlobeCandidate>& candidates) {
    FoundGlobes found;
    // Less is no pair. Eyes with a drawn-out back are round on few rays; a staphyloma was lost at 0.25 (seed 3 of tests/accuracy.sh).
    constexpr double least_score = 0.2;
    // Of two plainly round balls one may hold oil, gas, blood or heavy liquid: then their insides need not be alike.
    constexpr double plainly_round = 0.35, likeness_of_filled = 0.7;
    double best = least_score;
    for (std::size_t i = 0; i < candidates.size(); ++i)
        for (std::size_t j = 0; j < candidates.size(); ++j) {
            const GlobeCandidate &a = candidates[i], &b = candidates[j];
            // One eye may hold gas or heavy liquid; both at one time do not (common practice, no source), while sinuses come in pairs.
            if ((a.beyond_tissue || a.layered) && (b.beyond_tissue || b.layered)) continue;
            const PatientVector d = b.centre - a.centre;
            const double distance = length(d);
            if (distance < 44.0 || distance > 82.0 || d.x < 0.8 * distance) continue;
            const double contrast = std::abs(a.interior_mean - b.interior_mean) / (4.0 * std::min(a.interior_spread, b.interior_spread) + 0.15 * (std::abs(a.interior_mean) + std::abs(b.interior_mean)) + 1e-6);
            const double likeness = std::exp(-0.15 * contrast * contrast);
            const bool filled = likeness < likeness_of_filled && std::min(a.roundness, b.roundness) >= plainly_round;
            // Fluids of unlike contrast with the wall seem to end at unlike radii.
            const double off = (distance - 62.0) / 9.0, unequal = (a.inner_radius - b.inner_radius).value() / (filled ? 2.0 : 1.2);
            const double score = std::sqrt(single_score(a) * single_score(b)) * (filled ? likeness_of_filled : likeness) * std::exp(-0.5 * (0.5 * off * off + unequal * unequal));
            if (score > best) best = score, found.right = a, found.left = b;
        }
    return found;
}

FoundGlobes find_globes(const VoxelGrid& grid, Modality modality) { return pair_of_globes(globe_candidates(grid, modality)); }

}  // namespace perisclera
