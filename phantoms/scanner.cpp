// SPDX-License-Identifier: Apache-2.0
#include "scanner.h"

#include <algorithm>
#include <atomic>
#include <cmath>

#include "ct_scanner.h"
#include "label_sampler.h"
#include "perisclera/core/shared_work.h"
#include "random_field.h"

namespace perisclera::phantoms {

namespace {

constexpr double largest_cell_mm = 0.3;

void add_shading_and_noise(const Scan& scan, const VolumeGeometry& geometry, Image& image, int k) {
    const std::uint64_t key = mixed(scan.key, static_cast<std::uint64_t>(k));
    const PatientPoint middle = scan.pose.to_patient(HeadModel::middle_of_orbits());
    for (int y = 0; y < image.height; ++y)
        for (int x = 0; x < image.width; ++x) {
            const PatientVector d = geometry.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(k)}) - middle;
            const double shading = scan.texture > 0.0 ? 1.0 + 0.0010 * d.x - 0.0015 * d.y + 0.0008 * d.z : 1.0;
            const auto index = 2 * (static_cast<std::uint64_t>(y) * static_cast<std::uint64_t>(image.width) + static_cast<std::uint64_t>(x));
            const double real = std::max(0.0, shading) * static_cast<double>(image.at(x, y)) + scan.series.noise * normal_number(key, index);
            const double imaginary = scan.series.noise * normal_number(key, index + 1);
            image.at(x, y) = static_cast<float>(std::hypot(real, imaginary));
        }
}

VoxelGrid acquire_mr(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
    const auto size = geometry.size();
    const std::size_t area = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
    std::vector<float> values(area * static_cast<std::size_t>(size[2]));
    const int cells = 2 * static_cast<int>(std::ceil(geometry.spacing_mm()[0] / (2.0 * largest_cell_mm)));
    const LabelSampler sampler(scan, geometry, cells, 0);
    const std::vector<double> whole_pixel(static_cast<std::size_t>(cells), 1.0 / cells);
    std::atomic<int> next{0};
    const auto work = [&] {
        for (int k = next++; k < size[2]; k = next++) {
            Image image = filtered(sampler.slice(k), whole_pixel, cells, size[0], size[1]);
            add_shading_and_noise(scan, geometry, image, k);
            std::copy(image.values.begin(), image.values.end(), values.data() + area * static_cast<std::size_t>(k));
        }
    };
    share_work(static_cast<int>(threads), work);
    return VoxelGrid(geometry, std::move(values));
}

}  // namespace

VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
    return scan.series.is_ct() ? acquire_ct(scan, geometry, threads) : acquire_mr(scan, geometry, threads);
}

}  // namespace perisclera::phantoms
