// SPDX-License-Identifier: Apache-2.0
#include "scanner.h"

#include <algorithm>
#include <atomic>
#include <cmath>

#include "mr_scanner.h"
#include "perisclera/core/shared_work.h"
#include "plane_filter.h"
#include "random_field.h"
#include "slice_profile.h"

namespace perisclera::phantoms {

namespace {

constexpr double full_width_to_sigma = 0.42466090014;  // 1 / (2 sqrt(2 ln 2))
constexpr double finest_cell_mm = 0.3;

/// One CT series being acquired: everything that all slices share.
class Acquisition {
public:
    Acquisition(const Scan& scan, const VolumeGeometry& geometry);
    void slice(int k, float* out) const;

private:
    [[nodiscard]] HeadPoint head_at(double column, double row, double depth_mm, int k) const {
        return origin_ + step_[0] * column + step_[1] * row + step_[2] * k + normal_ * depth_mm;
    }
    void fill_pixel(Image& fine, int x, int y, int k) const;
    void add_ct_noise(Image& image, int k) const;

    const Scan& scan_;
    HeadPoint origin_;
    std::array<HeadVector, 3> step_;
    HeadVector normal_;
    std::array<int, 3> size_;
    double spacing_;
    int fine_;                     ///< cells per pixel and direction, even
    std::vector<double> kernel_;   ///< weights of the fine cells around a pixel's centre
    int margin_;                   ///< pixels around the image that the kernel needs
    std::vector<SliceDepth> depths_;
};

Acquisition::Acquisition(const Scan& scan, const VolumeGeometry& geometry)
    : scan_(scan),
      origin_(scan.pose.to_head(geometry.origin())),
      step_{scan.pose.to_head(geometry.row() * geometry.spacing_mm()[0]), scan.pose.to_head(geometry.column() * geometry.spacing_mm()[1]),
            scan.pose.to_head(geometry.slice_step())},
      normal_(scan.pose.to_head(geometry.normal())),
      size_(geometry.size()),
      spacing_(geometry.spacing_mm()[0]),
      fine_(2 * static_cast<int>(std::ceil(spacing_ / (2.0 * finest_cell_mm)))),
      depths_(slice_profile(scan.series.slice_thickness_mm)) {
    const double cell = spacing_ / fine_;
    // The cell's own averaging is part of the blur, so its variance is taken off the kernel's.
    const double sigma = kernel_sigma_mm(scan.series.kernel);
    const double left = std::sqrt(std::max(0.01, sigma * sigma - cell * cell / 12.0)) / cell;
    kernel_ = gaussian(left, 2 * std::max(fine_ / 2, static_cast<int>(std::ceil(3.5 * left))));
    const int beyond = static_cast<int>(kernel_.size()) / 2 - fine_ / 2;  // cells needed on each side of a pixel's own
    margin_ = (beyond + fine_ - 1) / fine_;
}

/// Averages over the fine cells of one pixel: coarsely where all is alike, finely where labels change or thin layers pass.
void Acquisition::fill_pixel(Image& fine, int x, int y, int k) const {
    const std::size_t quarter = depths_.size() / 4;
    const std::array<double, 2> probes{depths_[quarter].offset_mm, depths_[depths_.size() - 1 - quarter].offset_mm};
    const HeadPoint middle = head_at(x, y, 0.0, k);
    const double diagonal = 0.5 * std::hypot(std::hypot(spacing_, spacing_), scan_.series.slice_thickness_mm);
    bool alike = !scan_.head.near_thin_layers(middle, diagonal);
    const auto cell_centre = [&](int c) { return (c + 0.5) / fine_ - 0.5; };
    const Label first = scan_.head.label_at(head_at(x + cell_centre(0), y + cell_centre(0), probes[0], k));
    for (int j = 0; alike && j < fine_; ++j)
        for (int i = 0; alike && i < fine_; ++i)
            for (const double z : probes) alike = alike && scan_.head.label_at(head_at(x + cell_centre(i), y + cell_centre(j), z, k)) == first;

    const float texture = scan_.texture > 0.0 ? static_cast<float>(scan_.texture * unevenness_at(middle, scan_.texture_key)) : 0.0f;
    const int subdivisions = scan_.head.in_orbits(middle) ? 2 : 1;
    for (int j = 0; j < fine_; ++j)
        for (int i = 0; i < fine_; ++i) {
            float& cell = fine.at((x + margin_) * fine_ + i, (y + margin_) * fine_ + j);
            if (alike) {
                cell = scan_.appearance.value[first] + texture * scan_.appearance.unevenness[first];
                continue;
            }
            double sum = 0.0;
            for (int v = 0; v < subdivisions; ++v)
                for (int u = 0; u < subdivisions; ++u) {
                    const double dx = (i + (u + 0.5) / subdivisions) / fine_ - 0.5, dy = (j + (v + 0.5) / subdivisions) / fine_ - 0.5;
                    for (const SliceDepth& d : depths_) {
                        const Label label = scan_.head.label_at(head_at(x + dx, y + dy, d.offset_mm, k));
                        sum += d.weight * static_cast<double>(scan_.appearance.value[label] + texture * scan_.appearance.unevenness[label]);
                    }
                }
            cell = static_cast<float>(sum / (subdivisions * subdivisions));
        }
}

void Acquisition::add_ct_noise(Image& image, int k) const {
    const SmoothNoise noise = smooth_noise(image.width, image.height, kernel_sigma_mm(scan_.series.kernel) / spacing_, mixed(scan_.key, static_cast<std::uint64_t>(k)));
    const auto scale = static_cast<float>(scan_.series.noise / noise.deviation);
    for (std::size_t i = 0; i < image.values.size(); ++i) image.values[i] += scale * noise.image.values[i];
}

void Acquisition::slice(int k, float* out) const {
    Image fine((size_[0] + 2 * margin_) * fine_, (size_[1] + 2 * margin_) * fine_);
    for (int y = -margin_; y < size_[1] + margin_; ++y)
        for (int x = -margin_; x < size_[0] + margin_; ++x) fill_pixel(fine, x, y, k);
    // The kernel's first cell for pixel 0 lies this far from the fine image's edge; drop what is before it.
    const int skip = margin_ * fine_ + fine_ / 2 - static_cast<int>(kernel_.size()) / 2;
    Image cut(fine.width - skip, fine.height - skip);
    for (int y = 0; y < cut.height; ++y) std::copy_n(&fine.at(skip, y + skip), cut.width, &cut.at(0, y));
    Image image = filtered(cut, kernel_, fine_, size_[0], size_[1]);
    if (scan_.series.noise > 0.0) add_ct_noise(image, k);
    std::copy(image.values.begin(), image.values.end(), out);
}

}  // namespace

double kernel_sigma_mm(Kernel kernel) { return (kernel == Kernel::soft ? 1.2 : 0.6) * full_width_to_sigma; }

VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
    if (!scan.series.is_ct()) return acquire_mr(scan, geometry, threads);
    const auto size = geometry.size();
    const std::size_t area = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
    std::vector<float> values(area * static_cast<std::size_t>(size[2]));
    const Acquisition acquisition(scan, geometry);
    std::atomic<int> next{0};
    const auto work = [&] {
        for (int k = next++; k < size[2]; k = next++) acquisition.slice(k, values.data() + area * static_cast<std::size_t>(k));
    };
    share_work(static_cast<int>(threads), work);
    return VoxelGrid(geometry, std::move(values));
}

}  // namespace perisclera::phantoms
