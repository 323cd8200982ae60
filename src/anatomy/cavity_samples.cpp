// SPDX-License-Identifier: Apache-2.0
#include "cavity_samples.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "inner_face.h"
#include "layered_ball.h"
#include "perisclera/anatomy/directions.h"
#include "soft_tissue.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

struct Cavity {
    PatientPoint centre;
    std::function<double(PatientVector)> radius;   ///< towards a unit vector
};

/// A surface fitted to one signal goes astray where there are two, mostly along gravity: from several starts the common wall of both is found again.
Cavity place_cavity(const VoxelGrid& grid, Modality modality, const Globe& globe, PatientVector down, double least_step) {
    constexpr double least_roundness = 0.5, apart_mm = 7.0;
    const PatientPoint about = globe.frame.origin();
    const auto ball = roundest_layered_ball(soft_tissue_signals(grid, modality), about, down, modality == Modality::ct ? departure_hu : least_step, apart_mm);
    if (ball && ball->roundness >= least_roundness) return {ball->inside.centre, [r = ball->inside.radius](PatientVector) { return r; }};
    return {about, [&globe](PatientVector d) { return inner_radius_mm(globe, d); }};
}

/// How a point lies to what closes the cavity in front: the lens' back some 6.4 mm behind the outer radius, 4.6 mm to its edge; the ciliary body round it,
/// 2 mm thick (24 mm axis; common practice, no source).
struct Front {
    double outer_radius_mm;
    [[nodiscard]] double behind_lens(double forward) const { return outer_radius_mm - 5.0 - forward; }
    [[nodiscard]] bool clear_of_lens(double forward, double from_axis) const { return forward < outer_radius_mm - (from_axis < 5.5 ? 7.6 : 6.7); }
    [[nodiscard]] double ciliary_body_mm(double forward) const { return forward > outer_radius_mm - 8.0 ? 2.0 : 0.0; }
};

}  // namespace

CavitySamples sample_cavity(const VoxelGrid& grid, Modality modality, const Globe& globe, PatientVector down, double least_step) {
    const Cavity cavity = place_cavity(grid, modality, globe, down, least_step);
    const VolumeGeometry& g = grid.geometry();
    const PatientVector forward_axis = globe.frame.anterior();
    const PatientVector aside = unit(cross(down, std::abs(down.x) < 0.7 ? PatientVector{1, 0, 0} : PatientVector{0, 0, 1})), along = cross(down, aside);
    constexpr double step_mm = 0.5, reach_mm = 16.0;
    CavitySamples samples{{}, {}, cavity.centre, cavity.radius(down), step_mm, voxel_length_mm(g, down)};
    // The surface fitted to gas lies further out than the eye reaches.
    const Front front{std::min(12.0, cavity.radius(aside) + wall_at_equator_mm)};
    for (double depth = -reach_mm; depth <= reach_mm; depth += step_mm)
        for (double a = -reach_mm; a <= reach_mm; a += step_mm)
            for (double b = -reach_mm; b <= reach_mm; b += step_mm) {
                const PatientVector offset = aside * a + along * b + down * depth;
                const double r = length(offset), forward = dot(offset, forward_axis);
                if (r > reach_mm || r == 0.0 || front.behind_lens(forward) < 0.0) continue;
                const PatientVector d = offset / r;
                const PatientPoint p = cavity.centre + offset;
                const double radius = cavity.radius(d);
                if (r >= radius || !g.contains(p)) continue;
                samples.whole.push_back({depth, a, b, front.behind_lens(forward), static_cast<double>(grid.sample(p))});
                const double clear_of_wall_mm = 1.2 + 0.6 * voxel_length_mm(g, d) + front.ciliary_body_mm(forward), from_axis = length(offset - forward_axis * forward);
                if (front.clear_of_lens(forward, from_axis) && r < radius - clear_of_wall_mm) samples.clear.push_back(samples.whole.back());
            }
    return samples;
}

}  // namespace perisclera
