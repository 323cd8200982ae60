// SPDX-License-Identifier: Apache-2.0
#include "front_body.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "blurred_step.h"
#include "cornea_place.h"

namespace perisclera {

namespace {

constexpr double radians = std::numbers::pi / 180.0;
// Textbook: thickness of the wall before the equator; ciliary body: how thick, how far behind the lens' front, how far from the axis; half the iris.
constexpr double anterior_sclera_mm = 0.6, ciliary_mm = 2.0, ciliary_reach_mm = 4.0, ciliary_inner_mm = 5.0, iris_mm = 0.3;
// How far gaze departs from straight ahead, where a cornea may stand, how far the chamber's signal may lie off that of the contents, as a share of the span: assumed.
constexpr double usual_gaze_deg = 12.0, cornea_spread_mm = 0.5, chamber_differs = 0.1;
constexpr double negligible = 1e-4;

}  // namespace

FrontBody::FrontBody(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector axis, PatientVector ahead, double cornea_mm, int directions)
    : start_(axis), across_(unit(cross(axis, std::abs(axis.z) < 0.7 ? PatientVector{0, 0, 1} : PatientVector{1, 0, 0}))), other_(cross(axis, across_)),
      ahead_{std::atan2(dot(ahead, across_), dot(ahead, axis)) / radians, std::atan2(dot(ahead, other_), dot(ahead, axis)) / radians},
      expected_cornea_mm_(cornea_mm), samples_(front_samples(grid, modality, fit, axis, directions)) {}

bool FrontBody::is_imaged() const {
    constexpr double least = 0.67;
    return samples_.asked > 0 && static_cast<double>(samples_.all.size()) > least * static_cast<double>(samples_.asked);
}

double FrontBody::off_ahead(const Parameters& p) const { return std::hypot(p[tilt_across] - ahead_[0], p[tilt_other] - ahead_[1]); }

PatientVector FrontBody::axis(const Parameters& p) const { return unit(start_ + across_ * std::tan(p[tilt_across] * radians) + other_ * std::tan(p[tilt_other] * radians)); }

FrontBody::Usual FrontBody::usual(const UsualLens& lens, Parameter k) const {
    switch (k) {
        case tilt_across: return {ahead_[0], usual_gaze_deg};
        case tilt_other: return {ahead_[1], usual_gaze_deg};
        case cornea: return {expected_cornea_mm_, cornea_spread_mm};
        case chamber: return {lens.chamber_mm, lens.chamber_spread_mm};
        default: return {lens.thickness_mm, lens.kind == LensKind::none ? 0.01 : 0.4};
    }
}

FrontBody::Shares FrontBody::shares(const UsualLens& lens, const Parameters& p, PatientVector axis, const FrontSample& s) const {
    constexpr double curvature = CorneaPlace::radius_of_curvature_mm;
    const double r2 = dot(s.at, s.at), r = std::sqrt(r2), z = dot(s.at, axis), across2 = std::max(0.0, r2 - z * z);
    const double cornea_centre = p[cornea] + CorneaPlace::thickness_mm - curvature, from_cornea = std::sqrt(across2 + (z - cornea_centre) * (z - cornea_centre));
    const double outside = z > cornea_centre ? std::min(r - s.globe_mm, from_cornea - curvature) : r - s.globe_mm;
    const double beyond_wall = z > cornea_centre ? std::min(r - s.globe_mm + anterior_sclera_mm, from_cornea - curvature + CorneaPlace::thickness_mm) : r - s.globe_mm + anterior_sclera_mm;
    const double eye = blurred_step(-outside, s.blur_mm);
    if (eye == 0.0) return {};
    const double cavity = blurred_step(-beyond_wall, s.blur_mm);
    Shares share{};
    share[5] = eye - cavity;
    double left = cavity;
    const double lens_front = p[cornea] - p[chamber], half = 0.5 * p[thickness], middle = lens_front - half;
    if (lens.kind != LensKind::none) {
        const double behind_middle = (z - middle) * (z - middle), radius2 = lens.radius_mm * lens.radius_mm, half2 = half * half;
        const double q = std::sqrt(across2 / radius2 + behind_middle / half2);
        const double slope = std::sqrt(across2 / (radius2 * radius2) + behind_middle / (half2 * half2)) / std::max(q, 1e-9);
        share[3] = left * blurred_step((1.0 - q) / std::max(slope, 1.0 / lens.radius_mm), samples_.axial_blur_mm);
        left -= share[3];
    }
    const double within = -beyond_wall, rim = blurred_step(ciliary_mm - within, s.blur_mm) * blurred_step(z - lens_front + ciliary_reach_mm, samples_.axial_blur_mm) * blurred_step(lens_front + iris_mm - z, samples_.axial_blur_mm) *
                                              blurred_step(std::sqrt(across2) - ciliary_inner_mm, samples_.axial_blur_mm);
    share[4] = left * rim;
    left -= share[4];
    share[2] = left * blurred_step(z - lens_front, samples_.axial_blur_mm);
    left -= share[2];
    share[s.second_fluid ? 1 : 0] = left;
    return share;
}

double FrontBody::misfit(const UsualLens& lens, const Parameters& p, std::vector<double>& residual) {
    const PatientVector axis = FrontBody::axis(p);
    std::array<std::array<double, layers>, layers> products{};   // of two layers, the second not before the first
    Shares with_signal{};
    // What lies before the wall: one signal in each direction, eliminated.
    struct Before {
        double square = 0.0, signal = 0.0;
        Shares with{};
    };
    std::vector<Before> before(samples_.directions);
    rows_.resize(samples_.all.size());
    for (std::size_t i = 0; i < samples_.all.size(); ++i) {
        const FrontSample& s = samples_.all[i];
        rows_[i] = shares(lens, p, axis, s);
        const Shares& row = rows_[i];
        double out = 1.0;
        for (const double share : row) out -= share;
        Before& b = before[s.direction];
        b.square += s.weight * out * out, b.signal += s.weight * out * s.value;
        for (std::size_t r = 0; r < layers; ++r) {
            if (row[r] == 0.0) continue;
            const double weighted = s.weight * row[r];
            b.with[r] += weighted * out;
            with_signal[r] += weighted * s.value;
            for (std::size_t c = r; c < layers; ++c) products[r][c] += weighted * row[c];
        }
    }
    constexpr double hold = 1e-3;
    for (const Before& b : before)
        for (std::size_t r = 0; r < layers; ++r) {
            const double share = b.with[r] / (b.square + hold);
            with_signal[r] -= share * b.signal;
            for (std::size_t c = r; c < layers; ++c) products[r][c] -= share * b.with[c];
        }
    vnl_matrix<double> normal(layers, layers);
    vnl_vector<double> right(with_signal.data(), layers);
    for (unsigned r = 0; r < layers; ++r)
        for (unsigned c = r; c < layers; ++c) normal(r, c) = normal(c, r) = products[r][c] + (r == c ? hold : 0.0);
    // The chamber holds fluid like the vitreous, unless that was replaced.
    const double chamber_spread = std::max(chamber_differs * samples_.span, 1e-9);
    if (!samples_.two_fluids) {
        const double told = std::pow(samples_.uneven / chamber_spread, 2);
        normal(0, 0) += told, normal(2, 2) += told, normal(0, 2) -= told, normal(2, 0) -= told;
    }
    Shares signal{};
    vnl_cholesky(normal, vnl_cholesky::quiet).solve(right).copy_out(signal.data());
    // What remains of each direction's signal lies before the wall.
    for (Before& b : before) {
        for (std::size_t r = 0; r < layers; ++r) b.signal -= b.with[r] * signal[r];
        b.signal /= b.square + hold;
    }
    double sum = samples_.two_fluids ? 0.0 : std::pow((signal[0] - signal[2]) / chamber_spread, 2);
    for (std::size_t i = 0; i < samples_.all.size(); ++i) {
        const FrontSample& s = samples_.all[i];
        double explained = 0.0, out = 1.0;
        for (std::size_t r = 0; r < layers; ++r) explained += rows_[i][r] * signal[r], out -= rows_[i][r];
        explained += out * before[s.direction].signal;
        const double before_share = samples_.uneven_before * out / samples_.uneven, unevenness = 1.0 + before_share * before_share, uneven = samples_.uneven * std::sqrt(unevenness);
        residual[i] = (s.value - explained) / uneven;
        const double size = std::abs(residual[i]);
        sum += s.weight * ((size < tolerated ? size * size : tolerated * (2.0 * size - tolerated)) + (before_share > negligible ? std::log(unevenness) : 0.0));
    }
    for (std::size_t k = 0; k < count; ++k) {
        const Usual prior = usual(lens, static_cast<Parameter>(k));
        sum += std::pow((p[k] - prior.mean) / prior.spread, 2);
    }
    return sum;
}

}  // namespace perisclera
