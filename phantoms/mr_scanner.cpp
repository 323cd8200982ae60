// SPDX-License-Identifier: Apache-2.0
#include "mr_scanner.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <optional>

#include "mr_field.h"
#include "mr_k_space.h"
#include "mr_tissue.h"
#include "perisclera/core/shared_work.h"
#include "random_field.h"
#include "slice_profile.h"

namespace perisclera::phantoms {

namespace {

constexpr double finest_cell_mm = 0.15;
constexpr int taper = 6;  // pixels over which the object fades out beyond the field, so that its cut edges do not ring
// Muscles and nerve follow the eye as well, but little: only the globe and what lies on it swings.
bool swings(Label label) { return label >= static_cast<Label>(Tissue::sclera); }

/// Magnetisation of one slice, drawn in cells: rows along the frequency direction. The second plane holds what swings with the eyes.
struct Drawing {
    ComplexPlane still;
    std::optional<ComplexPlane> swinging;
};

class MrAcquisition {
public:
    MrAcquisition(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);
    void slice(int k, float* out) const;

private:
    struct Spot {
        int pixel_x, pixel_y;      ///< may lie beyond the image
        int first_cell_x, first_cell_y, cells;
        double weight;
    };
    [[nodiscard]] HeadPoint head_at(double column, double row, double depth_mm, int k) const {
        return origin_ + step_[0] * column + step_[1] * row + step_[2] * k + normal_ * depth_mm;
    }
    [[nodiscard]] bool rows_are_phase() const { return setting_.phase_along == PhaseAlong::row; }
    void draw_pixel(Drawing& drawing, int x, int y, int k) const;
    void send(Drawing& drawing, const Spot& spot, Label label, double signal, double field_ppm) const;
    [[nodiscard]] double coil(int x, int y, int k) const;
    [[nodiscard]] double fade(int pixel, int direction) const;
    void add_swinging(ComplexPlane& samples, const ComplexPlane& swinging) const;
    void add_noise(ComplexPlane& samples, int k) const;

    const Scan& scan_;
    const MrSetting& setting_;
    VolumeGeometry geometry_;
    HeadPoint origin_;
    std::array<HeadVector, 3> step_;
    HeadVector normal_;
    std::array<int, 3> size_;
    int fine_;                          ///< cells per pixel and direction
    std::array<int, 2> before_;         ///< pixels drawn before the image's first, along x and y
    std::vector<SliceDepth> depths_;
    FieldMap field_;
    KSpace k_space_;
    double hertz_per_ppm_, pixels_per_hertz_;
};

int cells_per_pixel(double spacing_mm) { return transformable_length(std::max(4, static_cast<int>(std::ceil(spacing_mm / finest_cell_mm)))); }

double hertz_per_ppm(const MrSetting& s) { return hertz_per_ppm_and_tesla * s.field_strength_tesla; }

/// Pixels along the frequency direction (0) or the phase direction (1), with room for what is displaced and for the taper.
int drawn_pixels(const MrSetting& s, int pixels, int direction) {
    const double shift = s.bandwidth_hz > 0.0 && direction == 0 ? std::abs(silicone_shift_ppm()) * hertz_per_ppm(s) / s.bandwidth_hz * s.zero_filling : 0.0;
    return transformable_length(pixels + 2 * (taper + static_cast<int>(std::ceil(shift))));
}

KSpace k_space_for(const MrSetting& s, const std::array<int, 3>& size, int fine) {
    const bool rows_are_phase = s.phase_along == PhaseAlong::row;
    return {Encoding(drawn_pixels(s, size[rows_are_phase ? 1 : 0], 0), fine, s.zero_filling, 2), Encoding(drawn_pixels(s, size[rows_are_phase ? 0 : 1], 1), fine, s.zero_filling, 1)};
}

MrAcquisition::MrAcquisition(const Scan& scan, const VolumeGeometry& geometry, unsigned threads)
    : scan_(scan),
      setting_(scan.series.mr),
      geometry_(geometry),
      origin_(scan.pose.to_head(geometry.origin())),
      step_{scan.pose.to_head(geometry.row() * geometry.spacing_mm()[0]), scan.pose.to_head(geometry.column() * geometry.spacing_mm()[1]),
            scan.pose.to_head(geometry.slice_step())},
      normal_(scan.pose.to_head(geometry.normal())),
      size_(geometry.size()),
      fine_(cells_per_pixel(geometry.spacing_mm()[0])),
      depths_(slice_profile(scan.series.slice_thickness_mm)),
      field_(scan.head, scan.appearance.susceptibility_ppm, scan.pose.to_head(PatientVector{0.0, 0.0, 1.0}), threads),
      k_space_(k_space_for(setting_, size_, fine_)),
      hertz_per_ppm_(hertz_per_ppm(setting_)),
      pixels_per_hertz_(setting_.bandwidth_hz > 0.0 ? k_space_.frequency().pixels_per_sample() / setting_.bandwidth_hz : 0.0) {
    const std::array<int, 2> drawn{rows_are_phase() ? k_space_.phase().pixels() : k_space_.frequency().pixels(),
                                   rows_are_phase() ? k_space_.frequency().pixels() : k_space_.phase().pixels()};
    before_ = {(drawn[0] - size_[0]) / 2, (drawn[1] - size_[1]) / 2};
}

/// One small square of cells of one label.
void MrAcquisition::send(Drawing& drawing, const Spot& spot, Label label, double signal, double field_ppm) const {
    const double ppm = static_cast<double>(scan_.appearance.shift_ppm[label]) + field_ppm, hertz = ppm * hertz_per_ppm_;
    double size = spot.weight * signal;
    if (setting_.fat_saturated) size *= left_by_fat_saturation(ppm);
    const Complex sent = setting_.sequence == MrSequence::spin_echo ? Complex(size) : std::polar(size, 2.0 * pi * hertz * setting_.echo_time_ms / 1000.0);
    const int cells_wide = k_space_.frequency().cells();
    const double moved = hertz * pixels_per_hertz_ * fine_, whole = std::floor(moved), share = moved - whole;
    ComplexPlane& plane = drawing.swinging && swings(label) ? *drawing.swinging : drawing.still;
    const int first_x = (spot.pixel_x + before_[0]) * fine_ + spot.first_cell_x, first_y = (spot.pixel_y + before_[1]) * fine_ + spot.first_cell_y;
    const int along = rows_are_phase() ? first_y : first_x, across = rows_are_phase() ? first_x : first_y;
    int start = (along + static_cast<int>(whole)) % cells_wide;
    if (start < 0) start += cells_wide;
    for (int j = 0; j < spot.cells; ++j) {
        Complex* row = &plane.at(0, across + j);
        for (int i = 0, at = start; i < spot.cells; ++i) {
            row[at] += sent * (1.0 - share);
            if (++at == cells_wide) at = 0;
            row[at] += sent * share;
        }
    }
}

/// Sends the cells of one pixel: coarsely where all is alike, finely where labels change or thin layers pass.
void MrAcquisition::draw_pixel(Drawing& drawing, int x, int y, int k) const {
    const double shading = coil(x, y, k) * fade(x, 0) * fade(y, 1);
    if (shading == 0.0) return;
    const HeadPoint middle = head_at(x, y, 0.0, k);
    const double spacing = geometry_.spacing_mm()[0];
    const double diagonal = 0.5 * std::hypot(std::hypot(spacing, spacing), scan_.series.slice_thickness_mm);
    bool alike = !scan_.head.near_thin_layers(middle, diagonal);
    const std::size_t quarter = depths_.size() / 4;
    const Label first = scan_.head.label_at(head_at(x - 0.25, y - 0.25, depths_[quarter].offset_mm, k));
    for (const double z : {depths_[quarter].offset_mm, depths_[depths_.size() - 1 - quarter].offset_mm})
        for (const double dy : {-0.25, 0.25})
            for (const double dx : {-0.25, 0.25}) alike = alike && scan_.head.label_at(head_at(x + dx, y + dy, z, k)) == first;

    const double texture = scan_.texture > 0.0 ? scan_.texture * unevenness_at(middle, scan_.texture_key) : 0.0;
    const auto signal = [&](Label label) { return static_cast<double>(scan_.appearance.value[label]) + texture * static_cast<double>(scan_.appearance.unevenness[label]); };
    if (alike && scan_.appearance.value[first] == 0.0f) return;
    const bool gradient_echo = setting_.sequence != MrSequence::spin_echo;
    if (alike && !gradient_echo) return send(drawing, {x, y, 0, 0, fine_, shading}, first, signal(first), field_.at(middle));
    const int square = alike || !scan_.head.in_orbits(middle) ? std::max(1, fine_ / 2) : 1;  // cells that share a label
    for (int j = 0; j < fine_; j += square)
        for (int i = 0; i < fine_; i += square) {
            const int cells = std::min({square, fine_ - i, fine_ - j});
            const double dx = (i + 0.5 * cells) / fine_ - 0.5, dy = (j + 0.5 * cells) / fine_ - 0.5;
            for (const SliceDepth& d : depths_) {
                const HeadPoint at = head_at(x + dx, y + dy, d.offset_mm, k);
                const Label label = alike ? first : scan_.head.label_at(at);
                if (scan_.appearance.value[label] != 0.0f) send(drawing, {x, y, i, j, cells, shading * d.weight}, label, signal(label), field_.at(at));
            }
        }
}

/// A surface coil before the face: smooth and positive.
double MrAcquisition::coil(int x, int y, int k) const {
    if (scan_.texture <= 0.0) return 1.0;
    const PatientVector d = geometry_.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(k)}) - scan_.pose.to_patient(HeadModel::middle_of_orbits());
    return std::exp(0.0010 * d.x - 0.0015 * d.y + 0.0008 * d.z);
}

double MrAcquisition::fade(int pixel, int direction) const {
    const auto d = static_cast<std::size_t>(direction);
    const int drawn = (direction == 0) == rows_are_phase() ? k_space_.phase().pixels() : k_space_.frequency().pixels();
    const int from_edge = std::min(pixel + before_[d], drawn - 1 - pixel - before_[d]);
    return smooth_step((from_edge + 0.5) / taper);
}

/// Each line is read while the eyes stand elsewhere: a shift of theirs is a phase in k-space, the lines come one after the other
/// (Wood ML, Henkelman RM, Med Phys 1985;12:143).
void MrAcquisition::add_swinging(ComplexPlane& samples, const ComplexPlane& swinging) const {
    const PatientVector towards_left = scan_.pose.to_patient(HeadVector{1.0, 0.0, 0.0}) * (setting_.eye_motion_mm / geometry_.spacing_mm()[0]);
    const double along_row = dot(towards_left, geometry_.row()), along_column = dot(towards_left, geometry_.column());
    const double along = (rows_are_phase() ? along_column : along_row) / k_space_.frequency().pixels();
    const double across = (rows_are_phase() ? along_row : along_column) / k_space_.phase().pixels();
    for (int j = 0; j < samples.height; ++j) {
        const double swing = std::sin(2.0 * pi * setting_.eye_motion_cycles * j / samples.height);
        for (int i = 0; i < samples.width; ++i)
            samples.at(i, j) += swinging.at(i, j) * std::polar(1.0, -2.0 * pi * swing * (along * k_space_.frequency().frequency(i) + across * k_space_.phase().frequency(j)));
    }
}

void MrAcquisition::add_noise(ComplexPlane& samples, int k) const {
    const double deviation = k_space_.noise_in_k_space(scan_.series.noise);
    const std::uint64_t key = mixed(scan_.key, static_cast<std::uint64_t>(k));
    for (std::size_t i = 0; i < samples.values.size(); ++i) samples.values[i] += deviation * Complex(normal_number(key, 2 * i), normal_number(key, 2 * i + 1));
}

void MrAcquisition::slice(int k, float* out) const {
    Drawing drawing{ComplexPlane(k_space_.frequency().cells(), k_space_.phase().cells()), std::nullopt};
    if (setting_.eye_motion_mm > 0.0) drawing.swinging = drawing.still;
    const int width = drawing.still.width / fine_, height = drawing.still.height / fine_;
    for (int y = -before_[1]; y < (rows_are_phase() ? width : height) - before_[1]; ++y)
        for (int x = -before_[0]; x < (rows_are_phase() ? height : width) - before_[0]; ++x) draw_pixel(drawing, x, y, k);
    ComplexPlane samples = k_space_.sampled(std::move(drawing.still));
    if (drawing.swinging) add_swinging(samples, k_space_.sampled(std::move(*drawing.swinging)));
    if (scan_.series.noise > 0.0) add_noise(samples, k);
    const ComplexPlane image = k_space_.image(samples);
    for (int y = 0; y < size_[1]; ++y)
        for (int x = 0; x < size_[0]; ++x)
            *out++ = static_cast<float>(std::abs(rows_are_phase() ? image.at(y + before_[1], x + before_[0]) : image.at(x + before_[0], y + before_[1])));
}

}  // namespace

VoxelGrid acquire_mr(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) {
    const auto size = geometry.size();
    const std::size_t area = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]);
    std::vector<float> values(area * static_cast<std::size_t>(size[2]));
    const MrAcquisition acquisition(scan, geometry, threads);
    std::atomic<int> next{0};
    share_work(static_cast<int>(threads), [&] {
        for (int k = next++; k < size[2]; k = next++) acquisition.slice(k, values.data() + area * static_cast<std::size_t>(k));
    });
    return VoxelGrid(geometry, std::move(values));
}

}  // namespace perisclera::phantoms
