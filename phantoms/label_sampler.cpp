// SPDX-License-Identifier: Apache-2.0
#include "label_sampler.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "slice_profile.h"

namespace perisclera::phantoms {

namespace {

constexpr double probe_pitch_mm = 0.6;  // no layer outside the eyes is thinner

}  // namespace

LabelSampler::LabelSampler(const Scan& scan, const VolumeGeometry& geometry, int cells_per_pixel, int margin)
    : scan_(scan),
      map_(scan.head),
      origin_(scan.pose.to_head(geometry.origin())),
      step_{scan.pose.to_head(geometry.row() * geometry.spacing_mm()[0]), scan.pose.to_head(geometry.column() * geometry.spacing_mm()[1]),
            scan.pose.to_head(geometry.slice_step())},
      normal_(scan.pose.to_head(geometry.normal())),
      size_(geometry.size()),
      spacing_(geometry.spacing_mm()[0]),
      half_diagonal_mm_(0.5 * std::hypot(spacing_, spacing_, scan.series.slice_thickness_mm)),
      cells_(cells_per_pixel),
      margin_(margin) {
    // Eight depths look at eight places that share out a cell's columns and rows evenly and lie symmetric about its middle.
    const auto place = [](std::size_t i, std::size_t multiplier) { return static_cast<double>((2 * i + 1) * multiplier % 16) / 16.0; };
    for (const SliceDepth& depth : slice_profile(scan.series.slice_thickness_mm, 8)) {
        const std::size_t i = samples_.size();
        samples_.push_back({place(i, 3), place(i, 5), depth.offset_mm, static_cast<float>(depth.weight)});
    }
}

/// Labels at points of a lattice over the slice, at two depths, and which pixels they show to be all alike.
class LabelSampler::Probes {
public:
    Probes(const LabelSampler& sampler, int k)
        : per_pixel_(static_cast<int>(std::ceil(sampler.spacing_ / probe_pitch_mm))),
          columns_((sampler.size_[0] + 2 * sampler.margin_) * per_pixel_ + 1),
          rows_((sampler.size_[1] + 2 * sampler.margin_) * per_pixel_ + 1) {
        const std::size_t quarter = sampler.samples_.size() / 4;
        labels_.reserve(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
        const auto place = [&](int i) { return static_cast<double>(i) / per_pixel_ - sampler.margin_ - 0.5; };
        for (int j = 0; j < rows_; ++j)
            for (int i = 0; i < columns_; ++i) {
                const auto label_at = [&](double depth) { return sampler.map_.label_at(sampler.head_at(place(i), place(j), depth, k)); };
                const double depth = sampler.samples_[quarter].depth_mm;
                const Label near = label_at(-depth);
                labels_.push_back(near == label_at(depth) ? near : unlike);
            }
    }
    /// The label of the whole pixel, counted from the margin's corner; nothing if it holds several.
    [[nodiscard]] std::optional<Label> alike(int x, int y) const {
        const Label first = at(x * per_pixel_, y * per_pixel_);
        if (first == unlike) return std::nullopt;
        for (int j = 0; j <= per_pixel_; ++j)
            for (int i = 0; i <= per_pixel_; ++i)
                if (at(x * per_pixel_ + i, y * per_pixel_ + j) != first) return std::nullopt;
        return first;
    }

private:
    static constexpr Label unlike = 255;
    [[nodiscard]] Label at(int i, int j) const { return labels_[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(i)]; }
    int per_pixel_, columns_, rows_;
    std::vector<Label> labels_;
};

/// Averages over the cells of one pixel, unless all of it is alike.
void LabelSampler::fill_pixel(Image& image, const Probes& probes, TissueTexture& texture, int x, int y, int k) const {
    const HeadPoint middle = head_at(x, y, 0.0, k);
    const auto alike = scan_.head.near_thin_layers(middle, half_diagonal_mm_) ? std::nullopt : probes.alike(x + margin_, y + margin_);
    texture.move_to(middle);
    const auto shown = [&](Label label) { return static_cast<float>(texture.shown(label, scan_.appearance)); };
    for (int j = 0; j < cells_; ++j)
        for (int i = 0; i < cells_; ++i) {
            float& cell = image.at((x + margin_) * cells_ + i, (y + margin_) * cells_ + j);
            if (alike) {
                cell = shown(*alike);
                continue;
            }
            float sum = 0.0f;
            for (const Sample& s : samples_) {
                const double dx = (i + s.column) / cells_ - 0.5, dy = (j + s.row) / cells_ - 0.5;
                sum += s.weight * shown(map_.label_at(head_at(x + dx, y + dy, s.depth_mm, k)));
            }
            cell = sum;
        }
}

Image LabelSampler::slice(int k) const {
    Image image((size_[0] + 2 * margin_) * cells_, (size_[1] + 2 * margin_) * cells_);
    const Probes probes(*this, k);
    TissueTexture texture(scan_);
    for (int y = -margin_; y < size_[1] + margin_; ++y)
        for (int x = -margin_; x < size_[0] + margin_; ++x) fill_pixel(image, probes, texture, x, y, k);
    return image;
}

}  // namespace perisclera::phantoms
