// SPDX-License-Identifier: Apache-2.0
#include "centre_votes.h"

#include <algorithm>
#include <cmath>

namespace perisclera {

namespace {

// Of the surface that shows: inner faces of shrunken globes to outer ones of large globes.
constexpr double smallest_radius_mm = 8.5, largest_radius_mm = 14.5;
constexpr std::size_t most_centres = 40;

template <class Visit>
void each_inner_node(const CoarseBlock& block, const Visit& visit) {
    for (int z = 1; z + 1 < block.n[2]; ++z)
        for (int y = 1; y + 1 < block.n[1]; ++y)
            for (int x = 1; x + 1 < block.n[0]; ++x) visit(x, y, z);
}

template <class Visit>
void each_neighbour(const Visit& visit) {
    for (int dz = -1; dz <= 1; ++dz)
        for (int dy = -1; dy <= 1; ++dy)
            for (int dx = -1; dx <= 1; ++dx) visit(dx, dy, dz);
}

std::vector<float> votes_of_edges(const CoarseBlock& block, double scale) {
    std::vector<float> votes(block.value.size(), 0.0f);
    each_inner_node(block, [&](int x, int y, int z) {
        const auto v = [&](int dx, int dy, int dz) { return static_cast<double>(block.value[block.at(x + dx, y + dy, z + dz)]); };
        const auto in = [&](int dx, int dy, int dz) { return block.imaged[block.at(x + dx, y + dy, z + dz)] != 0; };
        if (!(in(-1, 0, 0) && in(1, 0, 0) && in(0, -1, 0) && in(0, 1, 0) && in(0, 0, -1) && in(0, 0, 1))) return;
        const PatientVector gradient = PatientVector{v(1, 0, 0) - v(-1, 0, 0), v(0, 1, 0) - v(0, -1, 0), v(0, 0, 1) - v(0, 0, -1)} / (2.0 * CoarseBlock::step_mm);
        const double strength = length(gradient);
        if (strength < 0.3 * scale) return;
        const PatientVector along = gradient / (strength * CoarseBlock::step_mm);
        const auto weight = static_cast<float>(std::min(1.0, strength / scale));
        for (const double sign : {-1.0, 1.0})
            for (double r = smallest_radius_mm; r <= largest_radius_mm; r += 1.0) {
                const int vx = static_cast<int>(std::lround(x + sign * r * along.x)), vy = static_cast<int>(std::lround(y + sign * r * along.y)),
                          vz = static_cast<int>(std::lround(z + sign * r * along.z));
                if (vx < 0 || vy < 0 || vz < 0 || vx >= block.n[0] || vy >= block.n[1] || vz >= block.n[2]) continue;
                votes[block.at(vx, vy, vz)] += weight;
            }
    });
    return votes;
}

}  // namespace

std::vector<VotedCentre> voted_centres(const CoarseBlock& block, double scale) {
    const std::vector<float> votes = votes_of_edges(block, scale);
    // Votes spread by an edge's angular error: gather each 3 x 3 x 3 neighbourhood.
    std::vector<float> gathered(votes.size(), 0.0f);
    each_inner_node(block, [&](int x, int y, int z) {
        float sum = 0.0f;
        each_neighbour([&](int dx, int dy, int dz) { sum += votes[block.at(x + dx, y + dy, z + dz)]; });
        gathered[block.at(x, y, z)] = sum;
    });
    std::vector<VotedCentre> peaks;
    each_inner_node(block, [&](int x, int y, int z) {
        const float here = gathered[block.at(x, y, z)];
        bool top = here > 0.0f;
        each_neighbour([&](int dx, int dy, int dz) { top = top && gathered[block.at(x + dx, y + dy, z + dz)] <= here; });
        if (top) peaks.push_back({block.position(x, y, z), static_cast<double>(here)});
    });
    std::stable_sort(peaks.begin(), peaks.end(), [](const VotedCentre& a, const VotedCentre& b) { return a.votes > b.votes; });
    if (peaks.size() > most_centres) peaks.erase(peaks.begin() + static_cast<std::ptrdiff_t>(most_centres), peaks.end());
    for (std::size_t i = peaks.size(); i-- > 0;) peaks[i].votes /= peaks.front().votes;
    return peaks;
}

}  // namespace perisclera
