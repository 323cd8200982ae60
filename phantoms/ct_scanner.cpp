// SPDX-License-Identifier: Apache-2.0
#include "ct_scanner.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "acquired_slices.h"
#include "ct_artefact.h"
#include "ct_kernel.h"
#include "ct_motion.h"
#include "ct_noise.h"
#include "label_sampler.h"
#include "random_field.h"

namespace perisclera::phantoms {

namespace {

constexpr double largest_cell_mm = 0.3;

/// One series being acquired: everything that all slices share.
class Acquisition {
public:
    Acquisition(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);
    [[nodiscard]] std::vector<Image> slice(int k) const;

private:
    const Scan& scan_;
    const VolumeGeometry& geometry_;
    std::array<int, 3> size_;
    int cells_;                         ///< per pixel and direction, even
    std::vector<WeightedFilter> blur_;  ///< weights of the cells around a pixel's centre
    int reach_;                         ///< cells on each side of a pixel's centre that the blur needs
    int margin_;                        ///< the pixels that takes
    LabelSampler sampler_;
    std::optional<CtArtefact> artefact_;
    std::optional<CtNoise> noise_;
};

Acquisition::Acquisition(const Scan& scan, const VolumeGeometry& geometry, unsigned threads)
    : scan_(scan),
      geometry_(geometry),
      size_(geometry.size()),
      cells_(2 * static_cast<int>(std::ceil(geometry.spacing_mm()[0] / (2.0 * largest_cell_mm)))),
      blur_(on_cells(ct_blur(scan.series.kernel), geometry.spacing_mm()[0] / cells_, cells_)),
      reach_(static_cast<int>(blur_.front().taps.size()) / 2),
      margin_((reach_ - cells_ / 2 + cells_ - 1) / cells_),
      sampler_(scan, geometry, cells_, margin_) {
    if (CtArtefact::needed(scan.series, scan.head)) artefact_.emplace(scan, geometry, threads);
    if (scan.series.noise > 0.0) noise_.emplace(ct_blur(scan.series.kernel), geometry.spacing_mm()[0], size_[0], size_[1], scan.series.noise);
}

std::vector<Image> Acquisition::slice(int k) const {
    const Image cells = sampler_.slice(k);
    // The blur's first cell for pixel 0 lies this far from the drawn margin's edge; drop what is before it.
    const int skip = margin_ * cells_ + cells_ / 2 - reach_;
    Image cut(cells.width - skip, cells.height - skip);
    const auto first = cells.values.begin() + static_cast<std::ptrdiff_t>(skip) * (cells.width + 1);
    for (int y = 0; y < cut.height; ++y) std::copy_n(first + static_cast<std::ptrdiff_t>(y) * cells.width, cut.width, &cut.at(0, y));
    Image image = filtered(cut, blur_, cells_, size_[0], size_[1]);
    if (artefact_)
        for (int y = 0; y < image.height; ++y)
            for (int x = 0; x < image.width; ++x)
                image.at(x, y) += static_cast<float>(artefact_->at(geometry_.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(k)})));
    if (scan_.series.motion_mm != std::array<double, 2>{0.0, 0.0}) move_during_turn(image, geometry_.spacing_mm()[0], scan_.series.motion_mm);
    if (noise_) noise_->add_to(image, mixed(scan_.key, static_cast<std::uint64_t>(k)));
    return {std::move(image)};
}

}  // namespace

VoxelGrid acquire_ct(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
    return std::move(acquired_slices(Acquisition(scan, geometry, threads), 1, geometry, threads).front());
}

}  // namespace perisclera::phantoms
