// SPDX-License-Identifier: Apache-2.0
#include "bare_wall.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "median.h"
#include "perisclera/physics/material_table.h"

namespace perisclera {

namespace {

constexpr int clocks = PolarBlock::clock_count, polars = PolarBlock::polar_count;

std::size_t column(int clock, int polar) { return static_cast<std::size_t>((clock + clocks) % clocks) * polars + static_cast<std::size_t>(polar); }

PatientVector normal_at(const PolarBlock& block, int clock, int polar) {
    const PatientVector d = block.patient_point(PolarBlock::clock_hours(clock), PolarBlock::polar_radians(polar), 0.0) - block.globe().frame.origin();
    return d / length(d);
}

/// Median and robust spread.
Known middle_of(const std::vector<double>& v) {
    const double m = median(v);
    std::vector<double> off;
    for (const double x : v) off.push_back(std::abs(x - m));
    return {m, 1.4826 * median(off)};
}

/// Of an edge whose normal has this squared cosine with the slices'.
Known blur_by_skin(const SkinBlur& skin, double along_slices_normal) {
    constexpr double least = 0.07;   // of what an edge so unlike the wall says of it: with 0.03 three of eight drawn bands lay outside their intervals of thickness
    const double of_slices = along_slices_normal * skin.along_slices, variance = of_slices + (1.0 - along_slices_normal) * skin.in_plane;
    return {0.5 * std::log(variance), std::hypot(least, 0.5 * skin.along_slices_doubt * of_slices / variance)};
}

/// What many places of the bare wall say of it, each to a quarter, beside what is usual.
Known blur_by_wall(const std::vector<double>& log_blurs, Known usual) {
    const Known seen = middle_of(log_blurs);
    const double spread = std::hypot(0.1, 2.0 * seen.spread / std::sqrt(static_cast<double>(log_blurs.size())));
    const double told = 1.0 / (spread * spread), before = 1.0 / (usual.spread * usual.spread);
    return {(told * seen.mean + before * usual.mean) / (told + before), 1.0 / std::sqrt(told + before)};
}

/// Columns that an element fills or that lie close beside one.
std::vector<char> taken_columns(const std::vector<const FoundElement*>& elements) {
    constexpr int beside = 5;
    constexpr float some = 0.2f;
    std::vector<char> taken(static_cast<std::size_t>(clocks) * polars, 0);
    for (const FoundElement* e : elements)
        for (const ElementCell& cell : e->cells) {
            if (cell.share < some) continue;
            const PolarCell c = PolarBlock::cell(cell.index);
            for (int k = -beside; k <= beside; ++k)
                for (int p = std::max(0, c.polar - beside); p <= std::min(polars - 1, c.polar + beside); ++p) taken[column(c.clock + k, p)] = 1;
        }
    return taken;
}

}  // namespace

std::vector<ProfilePoint> mean_line(const PolarBlock& block, const std::vector<std::size_t>& columns, int first, int turn, int last) {
    std::vector<ProfilePoint> line;
    double least = 1e300, most = -1e300;
    for (int h = first; h <= last; ++h) {
        double sum = 0.0;
        for (const std::size_t i : columns) {
            const std::size_t cell = i * PolarBlock::height_count + static_cast<std::size_t>(h);
            if (!block.inside(cell)) return h > turn ? line : std::vector<ProfilePoint>{};
            sum += static_cast<double>(block.value(cell));
        }
        const double signal = sum / static_cast<double>(columns.size());
        constexpr double turning = 0.12;   // of the line's span up to there, in one step
        if (h > turn && std::abs(signal - line.back().signal) > turning * (most - least)) break;
        least = std::min(least, signal), most = std::max(most, signal);
        line.push_back({PolarBlock::height_mm(h), signal});
    }
    return line;
}

Known usual_wall_contrast(const PolarBlock& block, Modality modality) {
    if (modality != Modality::ct) return {0.0, 2.0 * std::max(block.globe().interior_mean, block.orbit_signal(0.9))};
    const Expected tissue = soft_tissue_hu();
    constexpr double vitreous_hu = 8.0, spread_hu = 15.0;   // phantoms 2 to 13, a real head 12 to 20 (phantoms/README.md)
    return {tissue.mean - vitreous_hu, spread_hu};
}

Known usual_wall(double polar) {
    constexpr double spread = 0.2;   // of one eye against another
    return {std::log(wall_at_equator_mm + wall_thickening_mm(std::cos(polar))), spread};
}

double usual_variance(const VolumeGeometry& geometry, Modality modality, PatientVector direction) {
    // Linear interpolation spreads by a sixth of the squared spacing, a slice's own extent by a twelfth; pixels are samples of what the kernel, full width of 1.2 mm where
    // it is soft and 0.6 mm where it is sharp (common practice, no source), or the band of MR has left.
    constexpr double interpolation = 1.0 / 6.0, extent = 1.0 / 12.0, kernel_sd = 0.42;
    const std::array<double, 3> spacing = geometry.spacing_mm();
    const double kernel = modality == Modality::ct ? kernel_sd * kernel_sd : 0.0;
    const auto along = [&](PatientVector axis) { return std::pow(dot(axis, direction), 2); };
    return along(geometry.row()) * (interpolation * spacing[0] * spacing[0] + kernel) + along(geometry.column()) * (interpolation * spacing[1] * spacing[1] + kernel) +
           along(geometry.normal()) * (interpolation + extent) * spacing[2] * spacing[2];
}

BareWalls::BareWalls(const PolarBlock& block, Modality modality, const std::vector<const FoundElement*>& elements)
    : geometry_(block.geometry()), modality_(modality), usual_contrast_(usual_wall_contrast(block, modality)), skin_(modality == Modality::ct ? blur_of_skin(block) : std::nullopt) {
    // From 3.5 mm within to 2.5 mm beyond the surface; between the ciliary body and the back of the eye.
    constexpr int first_height = 5, turn_height = 14, last_height = 17, first_polar = 26, last_polar = 58, every = 5, half = 1;
    const std::vector<char> taken = taken_columns(elements);
    for (int c = 0; c < clocks; c += every)
        for (int p = first_polar; p <= last_polar; p += every) {
            if (taken[column(c, p)]) continue;
            std::vector<std::size_t> columns;
            for (int k = -half; k <= half; ++k)
                for (int q = p - half; q <= p + half; ++q) columns.push_back(column(c + k, q));
            const std::vector<ProfilePoint> points = mean_line(block, columns, first_height, turn_height, last_height);
            if (points.empty()) continue;
            const PatientVector normal = normal_at(block, c, p);
            const double usual = 0.5 * std::log(usual_variance(geometry_, modality, normal));
            // Held loosely, so that what many places say is not what was believed before.
            constexpr double loosely = 0.8;
            const LayerLine line{points, 1e-3 * (1.0 + std::abs(block.globe().interior_mean)), 0.0, {usual, loosely}, usual_wall(PolarBlock::polar_radians(p)), usual_contrast_, {0.0, 1e6}, -1e9, 1e9};
            const auto fit = fit_wall(line);
            // More left over is muscle, lid or bone. Where fat begins at the wall its edge is clear; muscle, lid and tendon leave none.
            constexpr double most_left = 0.08, clear = 0.3;   // of the line's span; of the logarithm
            if (!fit || fit->left_over > most_left * fit->span || fit->log_blur.spread > clear) continue;
            sites_.push_back({*fit, std::pow(dot(normal, geometry_.normal()), 2), fit->log_blur.mean - usual});
        }
    std::sort(sites_.begin(), sites_.end(), [](const Site& a, const Site& b) { return a.fitted.log_blur.spread < b.fitted.log_blur.spread; });
}

double BareWalls::height_mm() const {
    if (sites_.empty()) return 0.0;
    // Standard uncertainties in mm: of the fitted sclera as a whole, of what layers tell of the wall's face, of one place.
    constexpr double of_fit = 0.2, of_layers = 0.15, of_place = 0.3;
    std::vector<double> heights;
    for (const Site& s : sites_) heights.push_back(s.fitted.outer_mm.mean);
    const double told = of_layers * of_layers + of_place * of_place / static_cast<double>(heights.size());
    return median(heights) * of_fit * of_fit / (of_fit * of_fit + told);
}

BareWall BareWalls::seen_along(PatientVector normal) const {
    constexpr double like_angle = 0.2;   // of the squared cosine with the slices' normal
    constexpr std::size_t enough = 5, most_sites = 15;
    const double own = std::pow(dot(normal, geometry_.normal()), 2);
    // The plane's blur is known to a third, that across the slices better.
    const Known usual{0.5 * std::log(usual_variance(geometry_, modality_, normal)), 0.12 + 0.2 * (1.0 - own)};
    std::vector<double> blurs, contrasts;
    for (const Site& s : sites_) {
        if (std::abs(s.along_slices_normal - own) > like_angle) continue;
        blurs.push_back(usual.mean + s.log_blur_beyond_usual), contrasts.push_back(s.fitted.wall_contrast.mean);
        if (blurs.size() == most_sites) break;
    }
    if (blurs.size() < enough) return {skin_ ? blur_by_skin(*skin_, own) : usual, usual_contrast_, 0};
    // One place of the wall is not the other, so its contrast keeps their spread; the blur is one.
    BareWall out{skin_ ? blur_by_skin(*skin_, own) : blur_by_wall(blurs, usual), middle_of(contrasts), static_cast<int>(blurs.size())};
    out.wall_contrast.spread = std::min(usual_contrast_.spread, std::max(out.wall_contrast.spread, 0.2 * std::abs(out.wall_contrast.mean)));
    return out;
}

}  // namespace perisclera
