// SPDX-License-Identifier: Apache-2.0
#include "prosthesis.h"

#include "perisclera/anatomy/directions.h"

namespace perisclera {

namespace {

constexpr double step_mm = 0.5, skin_mm = 20.0;

bool crosses_a_shell(const VoxelGrid& grid, const GlobeCandidate& ball, PatientVector direction, double scale) {
    constexpr double signal_of_nothing = 1.6, signal_of_tissue = 1.8;
    constexpr int thinnest_gap = 2, thinnest_tissue = 2;
    int before = 0, gap = 0, after = 0;
    for (double r = ball.inner_radius.value() - step_mm; r <= skin_mm; r += step_mm) {
        const PatientPoint p = ball.centre + direction * r;
        if (!grid.geometry().contains(p)) return false;
        const double signal = static_cast<double>(grid.sample(p));
        if (signal < signal_of_nothing * scale) {
            if (before == 0) continue;
            gap = after > 0 ? 1 : gap + 1;
            after = 0;
        } else if (signal > signal_of_tissue * scale) {
            if (gap >= thinnest_gap) {
                if (++after >= thinnest_tissue) return true;
            } else
                ++before, gap = 0;
        }
    }
    return false;
}

/// Share of the directions ahead in which tissue, a gap without signal, and tissue again follow on the ball.
double shell_before(const VoxelGrid& grid, const GlobeCandidate& ball, PatientVector ahead, double scale) {
    constexpr double cosine_of_cone = 0.6;
    static const std::vector<PatientVector> all = even_directions<PatientLps>(600);
    int rays = 0, crossing = 0;
    for (const PatientVector& d : all) {
        if (dot(d, ahead) < cosine_of_cone) continue;
        ++rays;
        if (crosses_a_shell(grid, ball, d, scale)) ++crossing;
    }
    return static_cast<double>(crossing) / rays;
}

}  // namespace

bool is_sphere_behind_prosthesis(const VoxelGrid& grid, const GlobeCandidate& ball, PatientVector ahead, double scale) {
    // In drawn eyes the share stays below 0.2, but for eyes with a bubble; what has pores is darker than fluid that shines.
    constexpr double least_share = 0.22, as_round_as_a_sphere = 0.58, brightest_sphere = 12.5;
    return ball.roundness >= as_round_as_a_sphere && !ball.layered && ball.interior_mean < brightest_sphere * scale && shell_before(grid, ball, ahead, scale) > least_share;
}

}  // namespace perisclera
