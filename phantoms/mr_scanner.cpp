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

constexpr double cell_mm = 0.15;  // at most
constexpr int taper = 6;  // pixels over which the object fades out beyond the field, so that its cut edges do not ring
// Muscles and nerve follow the eye as well, but little: only the globe and what lies on it swings.
bool swings(Label label) { return label >= static_cast<Label>(Tissue::sclera); }

/// The field at one depth of the slice, and how far a gradient echo has turned there by its time.
struct Felt {
    double weight, ppm;
    Complex turned;
};

/// Magnetisation of one slice, drawn in cells: rows along the frequency direction. The second plane holds what swings with the eyes.
struct Drawing {
    ComplexPlane still;
    std::optional<ComplexPlane> swinging;
    std::array<int, 2> pixels;    ///< along x and y
    std::vector<std::array<Label, 2>> corners;  ///< labels at the pixels' corners, at two depths: one more than pixels each way
    std::vector<Felt> depths;    ///< at the place being drawn
    std::vector<Label> labels;   ///< likewise
    Felt whole;                ///< all depths together
};

class MrAcquisition {
public:
    MrAcquisition(const Scan& scan, const VolumeGeometry& geometry, unsigned threads);
    void slice(int k, float* out) const;

private:
    /// A square of cells: its corner within the drawing, along x and y, and its side.
    struct Square {
        int x, y, side;
    };
    [[nodiscard]] HeadPoint head_at(double column, double row, double depth_mm, int k) const {
        return origin_ + step_[0] * column + step_[1] * row + step_[2] * k + normal_ * depth_mm;
    }
    [[nodiscard]] bool rows_are_phase() const { return setting_.phase_along == PhaseAlong::row; }
    [[nodiscard]] Drawing blank(int k) const;
    void draw_pixel(Drawing& drawing, int x, int y, int k) const;
    void feel(Drawing& drawing, HeadPoint middle) const;
    void draw_square(Drawing& drawing, Square square, HeadPoint middle, std::optional<Label> known, double shading, double texture) const;
    void send(Drawing& drawing, Square square, Label label, double signal, const Felt& felt) const;
    [[nodiscard]] Complex turned(double ppm) const;
    [[nodiscard]] double coil(int x, int y, int k) const;
    [[nodiscard]] double fade(int pixel, int direction) const;
    [[nodiscard]] Swing swing() const;
    void add_noise(ComplexPlane& samples, int k) const;

    const Scan& scan_;
    const MrSetting& setting_;
    VolumeGeometry geometry_;
    HeadPoint origin_;
    std::array<HeadVector, 3> step_;
    HeadVector normal_;
    std::array<int, 3> size_;
    int fine_;                          ///< cells per pixel and direction, even
    std::array<int, 2> before_;         ///< pixels drawn before the image's first, along x and y
    std::vector<SliceDepth> depths_;
    FieldMap field_;
    KSpace k_space_;
    double hertz_per_ppm_, pixels_per_ppm_;
    std::vector<Complex> turned_by_shift_;  ///< of each label
};

int cells_per_pixel(double spacing_mm) { return 2 * transformable_length(std::max(2, static_cast<int>(std::ceil(spacing_mm / (2.0 * cell_mm))))); }

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
      pixels_per_ppm_(setting_.bandwidth_hz > 0.0 ? hertz_per_ppm_ * k_space_.frequency().pixels_per_sample() / setting_.bandwidth_hz : 0.0) {
    for (const float ppm : scan.appearance.shift_ppm) turned_by_shift_.push_back(turned(static_cast<double>(ppm)));
    const std::array<int, 2> drawn{rows_are_phase() ? k_space_.phase().pixels() : k_space_.frequency().pixels(),
                                   rows_are_phase() ? k_space_.frequency().pixels() : k_space_.phase().pixels()};
    before_ = {(drawn[0] - size_[0]) / 2, (drawn[1] - size_[1]) / 2};
}

Drawing MrAcquisition::blank(int k) const {
    Drawing drawing{ComplexPlane(k_space_.frequency().cells(), k_space_.phase().cells()), std::nullopt, {}, {}, {}, {}, {}};
    if (setting_.eye_motion_mm > 0.0) drawing.swinging = drawing.still;
    drawing.pixels = {k_space_.frequency().pixels(), k_space_.phase().pixels()};
    if (rows_are_phase()) std::swap(drawing.pixels[0], drawing.pixels[1]);
    const std::size_t quarter = depths_.size() / 4;
    const std::array<double, 2> probes{depths_[quarter].offset_mm, depths_[depths_.size() - 1 - quarter].offset_mm};
    for (int y = 0; y <= drawing.pixels[1]; ++y)
        for (int x = 0; x <= drawing.pixels[0]; ++x) {
            const auto label_at = [&](double depth) { return scan_.head.label_at(head_at(x - before_[0] - 0.5, y - before_[1] - 0.5, depth, k)); };
            drawing.corners.push_back({label_at(probes[0]), label_at(probes[1])});
        }
    return drawing;
}

Complex MrAcquisition::turned(double ppm) const {
    return setting_.sequence == MrSequence::spin_echo ? Complex(1.0) : std::polar(1.0, 2.0 * pi * ppm * hertz_per_ppm_ * setting_.echo_time_ms / 1000.0);
}

/// The field through the slice at this place.
void MrAcquisition::feel(Drawing& drawing, HeadPoint middle) const {
    drawing.depths.clear();
    drawing.whole = {1.0, 0.0, 0.0};
    for (const SliceDepth& d : depths_) {
        const double ppm = field_.at(middle + normal_ * d.offset_mm);
        drawing.depths.push_back({d.weight, ppm, turned(ppm)});
        drawing.whole.ppm += d.weight * ppm;
        drawing.whole.turned += d.weight * drawing.depths.back().turned;
    }
}

/// Magnetisation of one label.
void MrAcquisition::send(Drawing& drawing, Square square, Label label, double signal, const Felt& felt) const {
    const double ppm = static_cast<double>(scan_.appearance.shift_ppm[label]) + felt.ppm;
    const Complex sent = felt.weight * signal * (setting_.fat_saturated ? left_by_fat_saturation(ppm) : 1.0) * felt.turned * turned_by_shift_[label];
    const int cells_wide = k_space_.frequency().cells();
    const double moved = ppm * pixels_per_ppm_ * fine_, whole = std::floor(moved), share = moved - whole;
    ComplexPlane& plane = drawing.swinging && swings(label) ? *drawing.swinging : drawing.still;
    const int along = rows_are_phase() ? square.y : square.x, across = rows_are_phase() ? square.x : square.y;
    int start = (along + static_cast<int>(whole)) % cells_wide;
    if (start < 0) start += cells_wide;
    for (int j = 0; j < square.side; ++j) {
        Complex* row = &plane.at(0, across + j);
        for (int i = 0, at = start; i < square.side; ++i) {
            row[at] += sent * (1.0 - share);
            if (++at == cells_wide) at = 0;
            row[at] += sent * share;
        }
    }
}

/// Looks the labels through the slice up unless they are known to be all the same. Where two depths agree, those between do: layers are
/// smooth, and first, middle and last are always looked at.
void MrAcquisition::draw_square(Drawing& drawing, Square square, HeadPoint middle, std::optional<Label> known, double shading, double texture) const {
    const auto signal = [&](Label l) { return shading * (static_cast<double>(scan_.appearance.value[l]) + texture * static_cast<double>(scan_.appearance.unevenness[l])); };
    if (known) return send(drawing, square, *known, signal(*known), drawing.whole);
    std::vector<Label>& labels = drawing.labels;
    labels.resize(depths_.size());
    const auto look = [&](std::size_t d) { labels[d] = scan_.head.label_at(middle + normal_ * depths_[d].offset_mm); };
    const auto between = [&](const auto& self, std::size_t low, std::size_t high) -> void {
        if (high - low < 2) return;
        if (labels[low] == labels[high]) return std::fill(labels.begin() + static_cast<std::ptrdiff_t>(low), labels.begin() + static_cast<std::ptrdiff_t>(high), labels[low]);
        const std::size_t half = (low + high) / 2;
        look(half);
        self(self, low, half);
        self(self, half, high);
    };
    const std::size_t last = labels.size() - 1, half = last / 2;
    for (const std::size_t d : {std::size_t{0}, half, last}) look(d);
    if (labels[0] == labels[half] && labels[half] == labels[last]) return send(drawing, square, labels[0], signal(labels[0]), drawing.whole);
    between(between, 0, half);
    between(between, half, last);
    for (std::size_t d = 0; d <= last; ++d)
        if (scan_.appearance.value[labels[d]] != 0.0f) send(drawing, square, labels[d], signal(labels[d]), drawing.depths[d]);
}

/// Coarsely where all is alike, finely where labels change or thin layers pass.
void MrAcquisition::draw_pixel(Drawing& drawing, int x, int y, int k) const {
    const HeadPoint middle = head_at(x, y, 0.0, k);
    const double spacing = geometry_.spacing_mm()[0];
    const double diagonal = 0.5 * std::hypot(std::hypot(spacing, spacing), scan_.series.slice_thickness_mm);
    const std::array<Label, 2>* corner = drawing.corners.data() + static_cast<std::ptrdiff_t>(y + before_[1]) * (drawing.pixels[0] + 1) + x + before_[0];
    const Label first = corner[0][0];
    // What lies beyond the image only has to end softly.
    const bool beyond = x < 0 || y < 0 || x >= size_[0] || y >= size_[1];
    bool alike = true;
    for (const int next : {0, 1, drawing.pixels[0] + 1, drawing.pixels[0] + 2})
        for (const Label label : corner[next]) alike = alike && (beyond || label == first);
    if (!beyond && scan_.head.near_thin_layers(middle, diagonal))
        for (const std::size_t d : {std::size_t{0}, depths_.size() / 2, depths_.size() - 1})
            for (const double dy : {-0.25, 0.25})
                for (const double dx : {-0.25, 0.25}) alike = alike && scan_.head.label_at(head_at(x + dx, y + dy, depths_[d].offset_mm, k)) == first;
    if (alike && scan_.appearance.value[first] == 0.0f) return;

    const std::optional<Label> known = alike ? std::optional(first) : std::nullopt;
    const double texture = scan_.texture > 0.0 ? scan_.texture * unevenness_at(middle, scan_.texture_key) : 0.0, shading = coil(x, y, k) * fade(x, 0) * fade(y, 1);
    const Square pixel{(x + before_[0]) * fine_, (y + before_[1]) * fine_, fine_};
    const auto middle_of = [&](Square s) {
        return head_at(x + (s.x - pixel.x + 0.5 * s.side) / fine_ - 0.5, y + (s.y - pixel.y + 0.5 * s.side) / fine_ - 0.5, 0.0, k);
    };
    if (alike && setting_.sequence == MrSequence::spin_echo) {
        drawing.whole = {1.0, field_.at(middle), 1.0};
        return draw_square(drawing, pixel, middle, known, shading, texture);
    }
    // The field is smoother than the labels.
    const int half = fine_ / 2, side = alike || !scan_.head.in_orbits(middle) ? half : 1;
    for (int v = 0; v < fine_; v += half)
        for (int u = 0; u < fine_; u += half) {
            feel(drawing, middle_of({pixel.x + u, pixel.y + v, half}));
            for (int j = v; j < v + half; j += side)
                for (int i = u; i < u + half; i += side) {
                    const Square square{pixel.x + i, pixel.y + j, side};
                    draw_square(drawing, square, middle_of(square), known, shading, texture);
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

Swing MrAcquisition::swing() const {
    const PatientVector towards_left = scan_.pose.to_patient(HeadVector{1.0, 0.0, 0.0}) * (setting_.eye_motion_mm / geometry_.spacing_mm()[0]);
    const double along_row = dot(towards_left, geometry_.row()), along_column = dot(towards_left, geometry_.column());
    return {rows_are_phase() ? along_column : along_row, rows_are_phase() ? along_row : along_column, setting_.eye_motion_cycles};
}

void MrAcquisition::add_noise(ComplexPlane& samples, int k) const {
    const double deviation = k_space_.noise_in_k_space(scan_.series.noise);
    const std::uint64_t key = mixed(scan_.key, static_cast<std::uint64_t>(k));
    for (std::size_t i = 0; i < samples.values.size(); ++i) samples.values[i] += deviation * Complex(normal_number(key, 2 * i), normal_number(key, 2 * i + 1));
}

void MrAcquisition::slice(int k, float* out) const {
    Drawing drawing = blank(k);
    for (int y = 0; y < drawing.pixels[1]; ++y)
        for (int x = 0; x < drawing.pixels[0]; ++x) draw_pixel(drawing, x - before_[0], y - before_[1], k);
    ComplexPlane samples = k_space_.sampled(std::move(drawing.still));
    if (drawing.swinging) add_swinging(samples, k_space_.sampled(std::move(*drawing.swinging)), k_space_, swing());
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
