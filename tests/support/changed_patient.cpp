// SPDX-License-Identifier: Apache-2.0
#include "changed_patient.h"

#include <algorithm>
#include <cmath>
#include <random>

namespace perisclera::test {

namespace {

PatientVector turned(PatientVector v, double about_z, double about_x) {
    const PatientVector w{std::cos(about_z) * v.x - std::sin(about_z) * v.y, std::sin(about_z) * v.x + std::cos(about_z) * v.y, v.z};
    return {w.x, std::cos(about_x) * w.y - std::sin(about_x) * w.z, std::sin(about_x) * w.y + std::cos(about_x) * w.z};
}

/// About the noise that the images have: 7 HU on CT, 1.2 % of the brighter tissues on MR.
double own_level(const VoxelGrid& grid, Modality modality) {
    if (modality == Modality::ct) return 7.0;
    std::vector<float> sample;
    for (std::size_t i = 0; i < grid.values().size(); i += 97) sample.push_back(grid.values()[i]);
    const auto k = static_cast<std::ptrdiff_t>(sample.size() * 97 / 100);
    std::nth_element(sample.begin(), sample.begin() + k, sample.end());
    return 0.012 * static_cast<double>(sample[static_cast<std::size_t>(k)]);
}

VoxelGrid changed_grid(const VoxelGrid& grid, Modality modality, const ImageChange& change, std::uint32_t seed) {
    const VolumeGeometry& g = grid.geometry();
    const auto place = [&](PatientVector v) { return turned({change.mirrored ? -v.x : v.x, v.y, v.z}, 0.06 * change.moved, -0.05 * change.moved); };
    const PatientVector origin = place(g.origin() - PatientPoint{0, 0, 0});
    const auto spacing = g.spacing_mm();
    const auto geometry = VolumeGeometry::make({origin.x + 20.0 * change.moved, origin.y - 13.0 * change.moved, origin.z + 31.0 * change.moved}, place(g.row()), place(g.column()),
                                               place(g.slice_step()), {spacing[0], spacing[1]}, g.size());
    std::vector<float> values = grid.values();
    if (change.noise > 0.0) {
        std::mt19937 engine(seed);
        std::normal_distribution<float> noise(0.0f, static_cast<float>(change.noise * own_level(grid, modality)));
        for (float& v : values) v += noise(engine);
    }
    return VoxelGrid(geometry.value(), std::move(values));
}

}  // namespace

PatientStudies changed(const PatientStudies& patient, const ImageChange& change) {
    PatientStudies out = patient;
    std::uint32_t seed = change.seed;
    for (Visit& visit : out.visits)
        for (ImageSeries& series : visit.series) {
            VoxelGrid grid = changed_grid(series.grid(), series.description.modality, change, seed++);
            if (series.description.modality == Modality::ct) series.volume = CtVolume(std::move(grid));
            else series.volume = MrVolume(std::move(grid));
        }
    return out;
}

}  // namespace perisclera::test
