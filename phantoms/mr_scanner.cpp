// SPDX-License-Identifier: Apache-2.0
#include "mr_scanner.h"

#include <algorithm>
#include <cmath>

#include "acquired_slices.h"
#include "mr_drawing.h"
#include "mr_tissue.h"
#include "random_field.h"

namespace perisclera::phantoms {

namespace {

constexpr double largest_cell_mm = 0.15;

int cells_per_pixel(double spacing_mm) {
    return 2 * transformable_length(std::max(2, static_cast<int>(std::ceil(spacing_mm / (2.0 * largest_cell_mm)))));
}

/// With room for what is displaced and for what fades out.
int drawn_pixels(int pixels, double displacement) {
    return transformable_length(pixels + 2 * (fading_pixels + static_cast<int>(std::ceil(displacement))));
}

/// Series being acquired together: everything that all slices share.
class MrAcquisition {
public:
    /// Keeps a reference to `scans`.
    MrAcquisition(const std::vector<Scan>& scans, const VolumeGeometry& geometry, unsigned threads)
        : scans_(scans),
          area_(area_of(scans.front().series, geometry)),
          k_space_(k_space_of(scans.front().series.mr, area_)),
          magnetisation_(scans, geometry, area_, threads),
          swing_(swing_of(scans.front(), geometry)) {}
    [[nodiscard]] std::vector<Image> slice(int k) const;

private:
    static DrawnArea area_of(const Series& series, const VolumeGeometry& geometry);
    static KSpace k_space_of(const MrSetting& setting, const DrawnArea& area);
    static Swing swing_of(const Scan& scan, const VolumeGeometry& geometry);

    [[nodiscard]] Image image(const Scan& scan, Drawing drawing, int k) const;

    const std::vector<Scan>& scans_;
    DrawnArea area_;
    KSpace k_space_;
    Magnetisation magnetisation_;
    Swing swing_;
};

DrawnArea MrAcquisition::area_of(const Series& series, const VolumeGeometry& geometry) {
    const MrSetting& s = series.mr;
    const std::size_t frequency = s.phase_along == PhaseAlong::row ? 1 : 0;
    DrawnArea area{{geometry.size()[0], geometry.size()[1]}, {}, cells_per_pixel(geometry.spacing_mm()[0]), s.phase_along, 0.0};
    if (s.bandwidth_hz > 0.0) area.pixels_per_ppm = hertz_per_ppm_and_tesla * s.field_strength_tesla / s.bandwidth_hz * s.zero_filling;
    area.drawn[frequency] = drawn_pixels(area.image[frequency], std::abs(silicone_shift_ppm()) * area.pixels_per_ppm);
    area.drawn[1 - frequency] = drawn_pixels(area.image[1 - frequency], 0.0);
    return area;
}

KSpace MrAcquisition::k_space_of(const MrSetting& setting, const DrawnArea& area) {
    const std::size_t frequency = area.phase_along == PhaseAlong::row ? 1 : 0;
    return {Encoding(area.drawn[frequency], area.cells_per_pixel, setting.zero_filling, 2),
            Encoding(area.drawn[1 - frequency], area.cells_per_pixel, setting.zero_filling, 1)};
}

Swing MrAcquisition::swing_of(const Scan& scan, const VolumeGeometry& geometry) {
    const MrSetting& s = scan.series.mr;
    const PatientVector towards_left = scan.pose.to_patient(HeadVector{1.0, 0.0, 0.0}) * (s.eye_motion_mm / geometry.spacing_mm()[0]);
    const double along_row = dot(towards_left, geometry.row()), along_column = dot(towards_left, geometry.column());
    return s.phase_along == PhaseAlong::row ? Swing{along_column, along_row, s.eye_motion_cycles}
                                            : Swing{along_row, along_column, s.eye_motion_cycles};
}

std::vector<Image> MrAcquisition::slice(int k) const {
    std::vector<Drawing> drawings = magnetisation_.of_slice(k);
    std::vector<Image> images;
    for (std::size_t s = 0; s < scans_.size(); ++s) images.push_back(image(scans_[s], std::move(drawings[s]), k));
    return images;
}

Image MrAcquisition::image(const Scan& scan, Drawing drawing, int k) const {
    ComplexPlane samples = k_space_.sampled(std::move(drawing.still));
    if (drawing.swinging) add_swinging(samples, k_space_.sampled(std::move(*drawing.swinging)), k_space_, swing_);
    if (scan.series.noise > 0.0) {
        const double deviation = k_space_.noise_in_k_space(scan.series.noise);
        const std::uint64_t key = mixed(scan.key, static_cast<std::uint64_t>(k));
        for (std::size_t i = 0; i < samples.values.size(); ++i)
            samples.values[i] += deviation * Complex(normal_number(key, 2 * i), normal_number(key, 2 * i + 1));
    }
    const ComplexPlane shown = k_space_.image(samples);
    const bool x_is_phase = area_.phase_along == PhaseAlong::row;
    Image out(area_.image[0], area_.image[1]);
    for (int y = 0; y < out.height; ++y)
        for (int x = 0; x < out.width; ++x) {
            const int u = x + area_.before(0), v = y + area_.before(1);
            out.at(x, y) = static_cast<float>(std::abs(x_is_phase ? shown.at(v, u) : shown.at(u, v)));
        }
    return out;
}

}  // namespace

std::vector<VoxelGrid> acquire_mr(const std::vector<Scan>& together, const VolumeGeometry& geometry, unsigned threads) {
    return acquired_slices(MrAcquisition(together, geometry, threads), together.size(), geometry, threads);
}

}  // namespace perisclera::phantoms
