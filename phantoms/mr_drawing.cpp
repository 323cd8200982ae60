// SPDX-License-Identifier: Apache-2.0
#include "mr_drawing.h"

#include <algorithm>
#include <cmath>

#include "mr_tissue.h"

namespace perisclera::phantoms {

namespace {

// Muscles and nerve follow the eye as well, but little: only the globe and what lies on it swings.
bool swings(Label label) { return label >= static_cast<Label>(Tissue::sclera); }

std::shared_ptr<const FieldMap> field_of(const Scan& scan, const HeadMap& map, unsigned threads) {
    LastField none;
    LastField& last = scan.last_field ? *scan.last_field : none;
    return last.of(scan.series, map, scan.appearance.susceptibility_ppm, scan.pose.to_head(PatientVector{0.0, 0.0, 1.0}), threads);
}

}  // namespace

Magnetisation::Magnetisation(const std::vector<Scan>& scans, const VolumeGeometry& geometry, const DrawnArea& area, unsigned threads)
    : scans_(scans),
      scan_(scans.front()),
      map_(scan_.head),
      geometry_(geometry),
      area_(area),
      origin_(scan_.pose.to_head(geometry.origin())),
      step_{scan_.pose.to_head(geometry.row() * geometry.spacing_mm()[0]), scan_.pose.to_head(geometry.column() * geometry.spacing_mm()[1]),
            scan_.pose.to_head(geometry.slice_step())},
      normal_(scan_.pose.to_head(geometry.normal())),
      half_diagonal_mm_(0.5 * std::hypot(geometry.spacing_mm()[0], geometry.spacing_mm()[1], scan_.series.slice_thickness_mm)),
      depths_(slice_profile(scan_.series.slice_thickness_mm)),
      field_(field_of(scan_, map_, threads)),
      dephases_(scan_.series.mr.sequence != MrSequence::spin_echo),
      turns_per_ppm_(hertz_per_ppm_and_tesla * scan_.series.mr.field_strength_tesla * scan_.series.mr.echo_time_ms / 1000.0) {
    for (const Scan& scan : scans) {
        std::vector<Complex>& of_labels = turned_by_shift_.emplace_back();
        for (const float ppm : scan.appearance.shift_ppm) of_labels.push_back(turned(static_cast<double>(ppm)));
    }
}

std::vector<Drawing> Magnetisation::of_slice(int k) const {
    const int cells = area_.cells_per_pixel;
    const std::size_t rows = area_.phase_along == PhaseAlong::row ? 0 : 1;
    const auto blank = [&] { return ComplexPlane(area_.drawn[1 - rows] * cells, area_.drawn[rows] * cells); };
    Work work{{}, k, {}, {}, {}, std::vector<Label>(depths_.size()), 0.0, TissueTexture(scan_)};
    for (std::size_t s = 0; s < scans_.size(); ++s)
        work.drawings.push_back({blank(), scan_.series.mr.eye_motion_mm > 0.0 ? std::optional(blank()) : std::nullopt});
    work.corners.reserve(static_cast<std::size_t>(area_.drawn[0] + 1) * static_cast<std::size_t>(area_.drawn[1] + 1));
    const std::size_t quarter = depths_.size() / 4;
    for (int y = 0; y <= area_.drawn[1]; ++y)
        for (int x = 0; x <= area_.drawn[0]; ++x) {
            const auto label_at = [&](std::size_t d) {
                return map_.label_at(head_at(x - area_.before(0) - 0.5, y - area_.before(1) - 0.5, depths_[d].offset_mm, k));
            };
            work.corners.push_back({label_at(quarter), label_at(depths_.size() - 1 - quarter)});
        }
    for (int y = 0; y < area_.drawn[1]; ++y)
        for (int x = 0; x < area_.drawn[0]; ++x) draw_pixel(work, x - area_.before(0), y - area_.before(1));
    return std::move(work.drawings);
}

/// Coarsely where all is alike, finely where labels change or thin layers pass.
void Magnetisation::draw_pixel(Work& work, int x, int y) const {
    const int k = work.slice, fine = area_.cells_per_pixel;
    const HeadPoint middle = head_at(x, y, 0.0, k);
    const std::array<Label, 2>* corner =
        work.corners.data() + static_cast<std::ptrdiff_t>(y + area_.before(1)) * (area_.drawn[0] + 1) + x + area_.before(0);
    const Label first = corner[0][0];
    // What lies beyond the image only has to end softly.
    const bool beyond = x < 0 || y < 0 || x >= area_.image[0] || y >= area_.image[1];
    bool alike = true;
    for (const int next : {0, 1, area_.drawn[0] + 1, area_.drawn[0] + 2})
        for (const Label label : corner[next]) alike = alike && (beyond || label == first);
    if (alike && !beyond && scan_.head.near_thin_layers(middle, half_diagonal_mm_))
        for (const std::size_t d : {std::size_t{0}, depths_.size() / 2, depths_.size() - 1})
            for (const double dy : {-0.25, 0.25})
                for (const double dx : {-0.25, 0.25}) alike = alike && map_.label_at(head_at(x + dx, y + dy, depths_[d].offset_mm, k)) == first;
    if (alike && dark(first)) return;

    const std::optional<Label> known = alike ? std::optional(first) : std::nullopt;
    work.texture.move_to(middle);
    work.shading = coil(x, y, k) * fade(x, 0) * fade(y, 1);
    const Square pixel{(x + area_.before(0)) * fine, (y + area_.before(1)) * fine, fine};
    if (alike && even_field(work, middle)) return draw_square(work, pixel, middle, known);
    const auto middle_of = [&](Square s) {
        return head_at(x + (s.x - pixel.x + 0.5 * s.side) / fine - 0.5, y + (s.y - pixel.y + 0.5 * s.side) / fine - 0.5, 0.0, k);
    };
    // The field is smoother than the labels.
    const int half = fine / 2, side = alike || !scan_.head.in_orbits(middle) ? half : 1;
    for (int v = pixel.y; v < pixel.y + fine; v += half)
        for (int u = pixel.x; u < pixel.x + fine; u += half) {
            feel(work, middle_of({u, v, half}));
            for (int j = v; j < v + half; j += side)
                for (int i = u; i < u + half; i += side) draw_square(work, {i, j, side}, middle_of({i, j, side}), known);
        }
}

/// Is one field enough for the whole pixel? It is for spin echoes, and for gradient echoes where a twentieth of a turn is not exceeded, which
/// takes 0.4 % of the signal. If so, `whole` holds it.
bool Magnetisation::even_field(Work& work, HeadPoint middle) const {
    const double here = field_->at(middle);
    work.whole = {1.0, here, turned(here)};
    if (!dephases_) return true;
    double lowest = here, highest = here;
    const HeadVector across = normal_ * depths_.back().offset_mm;
    for (const HeadVector& step : {across, step_[0] * 0.5, step_[1] * 0.5})
        for (const double sign : {-1.0, 1.0}) {
            const double there = field_->at(middle + step * sign);
            lowest = std::min(lowest, there);
            highest = std::max(highest, there);
        }
    return (highest - lowest) * turns_per_ppm_ < 0.05;
}

/// The field through the slice at this place.
void Magnetisation::feel(Work& work, HeadPoint middle) const {
    work.depths.clear();
    work.whole = {1.0, 0.0, 0.0};
    FieldMap::Column field(*field_);
    for (const SliceDepth& d : depths_) {
        const double ppm = field.at(middle + normal_ * d.offset_mm);
        work.depths.push_back({d.weight, ppm, turned(ppm)});
        work.whole.ppm += d.weight * ppm;
        work.whole.turned += d.weight * work.depths.back().turned;
    }
}

/// Looks the labels through the slice up unless they are known to be all the same. Where two depths agree, those between do: layers are
/// smooth, and first, middle and last are always looked at.
void Magnetisation::draw_square(Work& work, Square square, HeadPoint middle, std::optional<Label> known) const {
    if (known) return send(work, square, *known, work.whole);
    std::vector<Label>& labels = work.labels;
    const auto look = [&](std::size_t d) { labels[d] = map_.label_at(middle + normal_ * depths_[d].offset_mm); };
    const auto between = [&](const auto& self, std::size_t low, std::size_t high) -> void {
        if (high - low < 2) return;
        if (labels[low] == labels[high])
            return std::fill(labels.begin() + static_cast<std::ptrdiff_t>(low), labels.begin() + static_cast<std::ptrdiff_t>(high), labels[low]);
        const std::size_t half = (low + high) / 2;
        look(half);
        self(self, low, half);
        self(self, half, high);
    };
    const std::size_t last = labels.size() - 1, half = last / 2;
    for (const std::size_t d : {std::size_t{0}, half, last}) look(d);
    if (labels[0] == labels[half] && labels[half] == labels[last]) return send(work, square, labels[0], work.whole);
    between(between, 0, half);
    between(between, half, last);
    for (std::size_t d = 0; d <= last; ++d) send(work, square, labels[d], work.depths[d]);
}

/// Magnetisation of one label, displaced along its rows.
void Magnetisation::send(Work& work, Square square, Label label, const Felt& felt) const {
    const bool x_is_phase = area_.phase_along == PhaseAlong::row;
    const int along = x_is_phase ? square.y : square.x, across = x_is_phase ? square.x : square.y;
    for (std::size_t s = 0; s < scans_.size(); ++s) {
        const Appearance& appearance = scans_[s].appearance;
        if (appearance.value[label] == 0.0f) continue;
        const double ppm = static_cast<double>(appearance.shift_ppm[label]) + felt.ppm;
        const double left = scans_[s].series.mr.fat_saturated ? left_by_fat_saturation(ppm) : 1.0;
        const Complex sent = work.shading * felt.weight * work.texture.shown(label, appearance) * left * felt.turned * turned_by_shift_[s][label];
        Drawing& drawing = work.drawings[s];
        ComplexPlane& plane = drawing.swinging && swings(label) ? *drawing.swinging : drawing.still;
        const double moved = ppm * area_.pixels_per_ppm * area_.cells_per_pixel, whole = std::floor(moved), share = moved - whole;
        int start = (along + static_cast<int>(whole)) % plane.width;
        if (start < 0) start += plane.width;
        for (int j = 0; j < square.side; ++j) {
            Complex* row = &plane.at(0, across + j);
            for (int i = 0, at = start; i < square.side; ++i) {
                row[at] += sent * (1.0 - share);
                if (++at == plane.width) at = 0;
                row[at] += sent * share;
            }
        }
    }
}

bool Magnetisation::dark(Label label) const {
    return std::all_of(scans_.begin(), scans_.end(), [label](const Scan& scan) { return scan.appearance.value[label] == 0.0f; });
}

Complex Magnetisation::turned(double ppm) const { return dephases_ ? std::polar(1.0, 2.0 * pi * ppm * turns_per_ppm_) : Complex(1.0); }

/// A surface coil before the face: smooth and positive.
double Magnetisation::coil(int x, int y, int k) const {
    if (scan_.texture <= 0.0) return 1.0;
    const PatientVector d = geometry_.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(k)}) -
                            scan_.pose.to_patient(HeadModel::middle_of_orbits());
    return std::exp(0.0010 * d.x - 0.0015 * d.y + 0.0008 * d.z);
}

double Magnetisation::fade(int pixel, std::size_t direction) const {
    const int at = pixel + area_.before(direction);
    return smooth_step((std::min(at, area_.drawn[direction] - 1 - at) + 0.5) / fading_pixels);
}

}  // namespace perisclera::phantoms
