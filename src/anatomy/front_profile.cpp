// SPDX-License-Identifier: Apache-2.0
#include "front_profile.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "blurred_step.h"
#include "cornea_place.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

constexpr double step_mm = 0.25;

/// Signal along the axis: means of caps across it, curved like the cornea.
struct Course {
    double first_mm;
    std::vector<double> signal;
};

std::optional<Course> course(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis) {
    const PatientVector across = unit(cross(axis, std::abs(axis.z) < 0.7 ? PatientVector{0, 0, 1} : PatientVector{1, 0, 0})), other = cross(axis, across);
    constexpr double disc_mm = 1.5, first = 0.0, last = 18.0;
    Course out{first, {}};
    for (double along = first; along <= last; along += step_mm) {
        double sum = 0.0;
        int count = 0;
        for (double x = -disc_mm; x <= disc_mm; x += 0.5)
            for (double y = -disc_mm; y <= disc_mm; y += 0.5) {
                if (x * x + y * y > disc_mm * disc_mm) continue;
                const PatientPoint p = fit.centre + axis * (along - (x * x + y * y) / (2.0 * CorneaPlace::radius_of_curvature_mm)) + across * x + other * y;
                if (!grid.geometry().contains(p, 0.5)) return static_cast<double>(out.signal.size()) * step_mm > 15.0 ? std::optional(out) : std::nullopt;
                double v = clipped_filling(static_cast<double>(grid.sample(p)), modality);
                if (fit.fluids) v = fit.fluids->as_one(p, v);
                sum += modality == Modality::ct ? std::clamp(v, -50.0, 120.0) : v;  // of air and bone only that they are there
                ++count;
            }
        out.signal.push_back(sum / count);
    }
    return out;
}

/// Places of the layers' boundaries along the axis: back and front of the lens, inner face of the cornea, skin.
using Layers = std::array<double, 4>;
constexpr std::size_t cornea_boundary = 2;

/// Sum of squares that the layers leave at their best signals, and the signals of chamber and cover.
struct Left {
    double squares, chamber, cover;
};

Left left_by(const Course& course, const Layers& at, double blur_mm) {
    // Vitreous, lens, chamber, cover, air: each from its boundary to the next.
    constexpr std::size_t n = 5;
    std::array<std::array<double, n>, n> normal{};
    std::array<double, n> right{};
    double squares = 0.0;
    for (std::size_t i = 0; i < course.signal.size(); ++i) {
        const double place = course.first_mm + step_mm * static_cast<double>(i);
        const std::array<double, 4> past{blurred_step(place - at[0], blur_mm), blurred_step(place - at[1], blur_mm), blurred_step(place - at[2], blur_mm), blurred_step(place - at[3], blur_mm)};
        const std::array<double, n> row{1.0 - past[0], past[0] - past[1], past[1] - past[2], past[2] - past[3], past[3]};
        const double v = course.signal[i];
        for (std::size_t r = 0; r < n; ++r) {
            right[r] += row[r] * v;
            for (std::size_t c = r; c < n; ++c) normal[r][c] += row[r] * row[c];
        }
        squares += v * v;
    }
    for (std::size_t r = 0; r < n; ++r) {
        normal[r][r] += 1e-4;  // a layer without thickness has no signal to find
        for (std::size_t c = 0; c < r; ++c) normal[r][c] = normal[c][r];
    }
    // Gauss' elimination of a positive definite matrix needs no pivoting.
    std::array<double, n> signal = right;
    for (std::size_t k = 0; k < n; ++k)
        for (std::size_t r = k + 1; r < n; ++r) {
            const double share = normal[r][k] / normal[k][k];
            for (std::size_t c = k; c < n; ++c) normal[r][c] -= share * normal[k][c];
            signal[r] -= share * signal[k];
        }
    for (std::size_t k = n; k-- > 0;) {
        for (std::size_t c = k + 1; c < n; ++c) signal[k] -= normal[k][c] * signal[c];
        signal[k] /= normal[k][k];
    }
    double explained = 0.0;
    for (std::size_t r = 0; r < n; ++r) explained += signal[r] * right[r];
    return {std::max(0.0, squares - explained), signal[2], signal[3]};
}

/// One explanation of the course.
struct Explanation {
    const UsualLens* lens;
    double blur_mm;
    Layers layers;
    double misfit = 0.0;
    double step = 0.0;  ///< from the chamber's signal to the cover's
};

/// How ill explanations fit: what the layers leave of the course, and how unusual the eye would be.
class Judge {
public:
    Judge(const Course& course, const GlobeFit& fit, double expected_cornea_mm) : course_(course), expected_(expected_cornea_mm), fluid_(fit.interior_mean) {
        span_ = std::abs(quantile(course.signal, 0.95) - quantile(course.signal, 0.3));
        // What homogeneous layers leave unexplained: a share of what they span. Neighbouring samples err together over a millimetre.
        const auto [low, high] = std::minmax_element(course.signal.begin(), course.signal.end());
        noise_ = std::max({0.05 * (*high - *low), 0.5 * fit.interior_spread, 1e-9}) * std::sqrt(1.0 / step_mm);
        fluid_spread_ = std::max({0.1 * span_, 2.0 * fit.interior_spread, 1e-9});
    }
    [[nodiscard]] double span() const { return span_; }
    void judge(Explanation& e) const {
        constexpr double cornea_spread_mm = 1.5, lens_spread_mm = 0.5;
        // The chamber holds fluid like the vitreous, unless that was replaced: then this tells nothing more.
        constexpr double replaced = 25.0;
        const Left left = left_by(course_, e.layers, e.blur_mm);
        const auto squared = [](double off) { return off * off; };
        e.misfit = left.squares / squared(noise_) + squared((e.layers[cornea_boundary] - expected_) / cornea_spread_mm) +
                   squared((e.layers[cornea_boundary] - e.layers[1] - e.lens->chamber_mm) / e.lens->chamber_spread_mm) +
                   squared((e.layers[1] - e.layers[0] - e.lens->thickness_mm) / lens_spread_mm) + std::min(replaced, squared((left.chamber - fluid_) / fluid_spread_));
        e.step = std::abs(left.cover - left.chamber);
    }
    /// Each boundary moved to where the misfit is least: eyes differ from the ones compared with.
    void settle(Explanation& e) const {
        constexpr double least_layer_mm = 0.3;
        for (double move = 0.4; move > 0.04; move *= 0.5)
            for (int pass = 0; pass < 3; ++pass)
                for (std::size_t b = 0; b < e.layers.size(); ++b)
                    for (const double sign : {-1.0, 1.0}) {
                        Explanation trial = e;
                        trial.layers[b] += sign * move;
                        if (trial.layers[0] > trial.layers[1] || trial.layers[2] - trial.layers[1] < least_layer_mm || trial.layers[3] - trial.layers[2] < least_layer_mm) continue;
                        judge(trial);
                        if (trial.misfit < e.misfit) e = trial;
                    }
    }

private:
    const Course& course_;
    double expected_, fluid_, span_, noise_, fluid_spread_;
};

}  // namespace

std::optional<FrontOfEye> front_of_eye(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis) {
    const std::optional<Course> seen = course(grid, modality, fit, axis);
    if (!seen) return std::nullopt;
    const auto& g = grid.geometry();
    const double voxel = voxel_length_mm(g, axis);
    // Where the cornea is expected from the fit; its centre may be off along the axis.
    const double expected = CorneaPlace::inner_face_from_centre_mm(fit.radius_mm());
    Course window{std::max(0.0, std::floor(expected - 11.0)), {}};
    for (std::size_t i = static_cast<std::size_t>(window.first_mm / step_mm); i < seen->signal.size(); ++i) window.signal.push_back(seen->signal[i]);
    const Judge judge(window, fit, expected);
    const std::array<double, 2> blurs_mm{std::max(0.3, 0.35 * voxel), std::max(0.5, 0.5 * voxel + 0.2)};
    std::vector<Explanation> tried;
    for (const double blur_mm : blurs_mm)
        for (double cornea = expected - 4.0; cornea <= expected + 4.0; cornea += 0.4)
            for (const double cover : {0.6, 1.2, 2.4, 4.0})
                for (const UsualLens& lens : usual_lenses) {
                    const double front = cornea - lens.chamber_mm;
                    tried.push_back({&lens, blur_mm, {front - lens.thickness_mm, front, cornea, cornea + cover}});
                    judge.judge(tried.back());
                }
    const auto better = [](const Explanation& a, const Explanation& b) { return a.misfit < b.misfit; };
    constexpr std::size_t settled = 24;
    std::partial_sort(tried.begin(), tried.begin() + settled, tried.end(), better);
    tried.resize(settled);
    for (Explanation& e : tried) judge.settle(e);
    const Explanation best = *std::min_element(tried.begin(), tried.end(), better);
    if (best.step < 0.1 * judge.span()) return std::nullopt;
    double shares = 0.0, squares = 0.0;
    for (const Explanation& e : tried) {
        const double share = std::exp(-0.5 * (e.misfit - best.misfit));
        shares += share;
        squares += share * std::pow(e.layers[cornea_boundary] - best.layers[cornea_boundary], 2);
    }
    constexpr double least_uncertainty_mm = 0.2;
    return FrontOfEye{best.layers[cornea_boundary], std::hypot(least_uncertainty_mm, std::sqrt(squares / shares)), best.lens->kind};
}

}  // namespace perisclera
