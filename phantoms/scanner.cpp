// SPDX-License-Identifier: Apache-2.0
#include "scanner.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <optional>

#include "ct_kernel.h"
#include "ct_noise.h"
#include "perisclera/core/shared_work.h"
#include "plane_filter.h"
#include "random_field.h"

namespace perisclera::phantoms {

namespace {

constexpr double finest_cell_mm = 0.3, depth_step_mm = 0.35;
constexpr double probe_pitch_mm = 0.6;  // no layer outside the eyes is thinner

/// One series being acquired: everything that all slices share.
class Acquisition {
public:
    Acquisition(const Scan& scan, const VolumeGeometry& geometry);
    void slice(int k, float* out) const;

private:
    /// Where within a fine cell and how deep in the slice a label is looked up.
    struct Sample {
        double column, row;  ///< share of the cell's side
        double depth_mm;
        float weight;
    };
    class Probes;
    [[nodiscard]] HeadPoint head_at(double column, double row, double depth_mm, int k) const {
        return origin_ + step_[0] * column + step_[1] * row + step_[2] * k + normal_ * depth_mm;
    }
    void fill_pixel(Image& fine, const Probes& probes, int x, int y, int k) const;
    void add_mr_shading_and_noise(Image& image, int k) const;

    const Scan& scan_;
    VolumeGeometry geometry_;
    HeadPoint origin_;
    std::array<HeadVector, 3> step_;
    HeadVector normal_;
    std::array<int, 3> size_;
    double spacing_;
    int fine_;                     ///< cells per pixel and direction, even
    std::vector<WeightedFilter> blur_;  ///< weights of the fine cells around a pixel's centre
    int margin_;                   ///< pixels around the image that the blur needs
    std::vector<Sample> samples_;  ///< the slice profile, symmetric
    std::optional<CtNoise> ct_noise_;
};

Acquisition::Acquisition(const Scan& scan, const VolumeGeometry& geometry)
    : scan_(scan),
      geometry_(geometry),
      origin_(scan.pose.to_head(geometry.origin())),
      step_{scan.pose.to_head(geometry.row() * geometry.spacing_mm()[0]), scan.pose.to_head(geometry.column() * geometry.spacing_mm()[1]),
            scan.pose.to_head(geometry.slice_step())},
      normal_(scan.pose.to_head(geometry.normal())),
      size_(geometry.size()),
      spacing_(geometry.spacing_mm()[0]),
      fine_(2 * static_cast<int>(std::ceil(spacing_ / (2.0 * finest_cell_mm)))) {
    if (scan.series.is_ct()) {
        const CtBlur blur = ct_blur(scan.series.kernel);
        blur_ = on_cells(blur, spacing_ / fine_, fine_);
        if (scan.series.noise > 0.0) ct_noise_.emplace(blur, spacing_, size_[0], size_[1], scan.series.noise);
    } else {
        blur_ = {{1.0, std::vector<double>(static_cast<std::size_t>(fine_), 1.0 / fine_)}};
    }
    const int beyond = static_cast<int>(blur_.front().taps.size()) / 2 - fine_ / 2;  // cells needed on each side of a pixel's own
    margin_ = (beyond + fine_ - 1) / fine_;

    const double thickness = scan.series.slice_thickness_mm;
    const double soft = std::min(0.15 * thickness, 0.3);
    const double reach = thickness / 2.0 + 2.0 * soft;
    // Eight depths look at eight places that share out a cell's columns and rows evenly and lie symmetric about its middle.
    const int count = 8 * std::max(1, static_cast<int>(std::ceil(2.0 * reach / depth_step_mm / 8.0)));
    const auto place = [](int i, int multiplier) { return static_cast<double>((2 * i + 1) * multiplier % 16) / 16.0; };
    double sum = 0.0;
    std::vector<double> weights;
    for (int i = 0; i < count; ++i) {
        const double z = reach * ((2.0 * i + 1.0) / count - 1.0);
        samples_.push_back({place(i, 3), place(i, 5), z, 0.0f});
        weights.push_back(std::erf((thickness / 2.0 - z) / (std::sqrt(2.0) * soft)) + std::erf((thickness / 2.0 + z) / (std::sqrt(2.0) * soft)));
        sum += weights.back();
    }
    for (std::size_t i = 0; i < samples_.size(); ++i) samples_[i].weight = static_cast<float>(weights[i] / sum);
}

/// Labels at points of a lattice over the slice, at two depths, and which pixels they show to be all alike.
class Acquisition::Probes {
public:
    Probes(const Acquisition& acquisition, int k)
        : per_pixel_(static_cast<int>(std::ceil(acquisition.spacing_ / probe_pitch_mm))),
          columns_((acquisition.size_[0] + 2 * acquisition.margin_) * per_pixel_ + 1),
          rows_((acquisition.size_[1] + 2 * acquisition.margin_) * per_pixel_ + 1) {
        const std::size_t quarter = acquisition.samples_.size() / 4;
        labels_.reserve(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
        const auto place = [&](int i) { return static_cast<double>(i) / per_pixel_ - acquisition.margin_ - 0.5; };
        for (int j = 0; j < rows_; ++j)
            for (int i = 0; i < columns_; ++i) {
                const auto label_at = [&](double depth) { return acquisition.scan_.head.label_at(acquisition.head_at(place(i), place(j), depth, k)); };
                const double depth = acquisition.samples_[quarter].depth_mm;
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

/// Averages over the fine cells of one pixel, unless all of it is alike.
void Acquisition::fill_pixel(Image& fine, const Probes& probes, int x, int y, int k) const {
    const HeadPoint middle = head_at(x, y, 0.0, k);
    const double diagonal = 0.5 * std::hypot(std::hypot(spacing_, spacing_), scan_.series.slice_thickness_mm);
    const auto alike = scan_.head.near_thin_layers(middle, diagonal) ? std::nullopt : probes.alike(x + margin_, y + margin_);
    const float texture = scan_.texture > 0.0 ? static_cast<float>(scan_.texture * unevenness_at(middle, scan_.texture_key)) : 0.0f;
    const auto shown = [&](Label label) { return scan_.appearance.value[label] + texture * scan_.appearance.unevenness[label]; };
    for (int j = 0; j < fine_; ++j)
        for (int i = 0; i < fine_; ++i) {
            float& cell = fine.at((x + margin_) * fine_ + i, (y + margin_) * fine_ + j);
            if (alike) {
                cell = shown(*alike);
                continue;
            }
            float sum = 0.0f;
            for (const Sample& s : samples_) {
                const double dx = (i + s.column) / fine_ - 0.5, dy = (j + s.row) / fine_ - 0.5;
                sum += s.weight * shown(scan_.head.label_at(head_at(x + dx, y + dy, s.depth_mm, k)));
            }
            cell = sum;
        }
}

void Acquisition::add_mr_shading_and_noise(Image& image, int k) const {
    const std::uint64_t key = mixed(scan_.key, static_cast<std::uint64_t>(k));
    const PatientPoint middle = scan_.pose.to_patient(HeadModel::middle_of_orbits());
    for (int y = 0; y < image.height; ++y)
        for (int x = 0; x < image.width; ++x) {
            const PatientVector d = geometry_.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(k)}) - middle;
            const double shading = scan_.texture > 0.0 ? 1.0 + 0.0010 * d.x - 0.0015 * d.y + 0.0008 * d.z : 1.0;
            const auto index = 2 * (static_cast<std::uint64_t>(y) * static_cast<std::uint64_t>(image.width) + static_cast<std::uint64_t>(x));
            const double real = std::max(0.0, shading) * static_cast<double>(image.at(x, y)) + scan_.series.noise * normal_number(key, index);
            const double imaginary = scan_.series.noise * normal_number(key, index + 1);
            image.at(x, y) = static_cast<float>(std::hypot(real, imaginary));
        }
}

void Acquisition::slice(int k, float* out) const {
    Image fine((size_[0] + 2 * margin_) * fine_, (size_[1] + 2 * margin_) * fine_);
    const Probes probes(*this, k);
    for (int y = -margin_; y < size_[1] + margin_; ++y)
        for (int x = -margin_; x < size_[0] + margin_; ++x) fill_pixel(fine, probes, x, y, k);
    // The blur's first cell for pixel 0 lies this far from the fine image's edge; drop what is before it.
    const int skip = margin_ * fine_ + fine_ / 2 - static_cast<int>(blur_.front().taps.size()) / 2;
    Image cut(fine.width - skip, fine.height - skip);
    for (int y = 0; y < cut.height; ++y) std::copy_n(&fine.at(skip, y + skip), cut.width, &cut.at(0, y));
    Image image = filtered(cut, blur_, fine_, size_[0], size_[1]);
    if (!scan_.series.is_ct())
        add_mr_shading_and_noise(image, k);
    else if (ct_noise_)
        ct_noise_->add_to(image, mixed(scan_.key, static_cast<std::uint64_t>(k)));
    std::copy(image.values.begin(), image.values.end(), out);
}

}  // namespace

VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
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
