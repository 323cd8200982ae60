// SPDX-License-Identifier: Apache-2.0
#include "front_model.h"
#include "front_profile.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "blurred_step.h"
#include "cornea_place.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

constexpr double radians = std::numbers::pi / 180.0;
constexpr double farthest_gaze_deg = 55.0;   // of an eye that looks aside by 25 degrees, in a head that lies askew by 30

struct Lens {
    LensKind kind;
    double thickness_mm, radius_mm, chamber_mm, chamber_spread_mm;  ///< chamber: inner face of the cornea to the lens
};
// Textbook: lens 4 mm thick and 9 across, chamber 3 mm deep; an implant about a millimetre and 6 across, farther back. Spreads assumed.
constexpr std::array<Lens, 3> lenses{{{LensKind::natural, 4.0, 4.6, 3.0, 0.5}, {LensKind::implant, 1.0, 3.0, 4.0, 0.7}, {LensKind::none, 0.0, 4.6, 3.5, 1.0}}};
constexpr double anterior_sclera_mm = 0.6, ciliary_mm = 2.0, ciliary_reach_mm = 4.0;   // textbook: thickness of the wall before the equator; ciliary body: how thick, how far behind the lens' front

struct Sample {
    PatientVector at;       ///< from the globe's centre
    double globe_mm;        ///< distance of the outer sclera in this direction
    double value, weight;   ///< weight: how many independent voxels it stands for
    double blur_mm;         ///< of surfaces across this direction
    std::size_t direction;
    bool second_fluid;
};

/// What may move.
enum Parameter : std::size_t { tilt_across, tilt_other, cornea, chamber, thickness, count };
using Parameters = std::array<double, count>;   // degrees, degrees, mm, mm, mm

struct Reached {
    const Lens* lens;
    Parameters at;
    double left, axis_uncertainty_deg;
    bool operator<(const Reached& other) const { return left < other.left; }
};

constexpr std::size_t layers = 6;   // contents, other fluid, chamber, lens, ciliary body, wall

class Front {
public:
    Front(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector start, PatientVector ahead, double cornea_mm, int all_directions) : start_(start), expected_cornea_(cornea_mm) {
        across_ = unit(cross(start, std::abs(start.z) < 0.7 ? PatientVector{0, 0, 1} : PatientVector{1, 0, 0}));
        other_ = cross(start, across_);
        ahead_ = {std::atan2(dot(ahead, across_), dot(ahead, start)) / radians, std::atan2(dot(ahead, other_), dot(ahead, start)) / radians};
        look(grid, modality, fit, all_directions);
    }
    [[nodiscard]] bool seen() const { return looked_ > 0 && static_cast<double>(samples_.size()) > 0.67 * static_cast<double>(looked_); }
    /// Straight ahead as a tilt, degrees.
    [[nodiscard]] std::array<double, 2> ahead() const { return ahead_; }
    /// How far an axis lies off straight ahead, degrees.
    [[nodiscard]] double off_ahead(const Parameters& p) const { return std::hypot(p[tilt_across] - ahead_[0], p[tilt_other] - ahead_[1]); }
    [[nodiscard]] PatientVector axis(const Parameters& p) const { return unit(start_ + across_ * std::tan(p[tilt_across] * radians) + other_ * std::tan(p[tilt_other] * radians)); }

    /// Moves to where the misfit is least; the curvature there.
    double settle(const Lens& lens, Parameters& p, vnl_matrix<double>& curvature, int rounds) const {
        constexpr Parameters step{0.3, 0.3, 0.05, 0.05, 0.05};
        double damping = 1e-2;
        std::vector<double> residual(samples_.size()), moved(samples_.size());
        double here = misfit(lens, p, residual);
        curvature.set_size(count, count);
        for (int round = 0; round < rounds; ++round) {
            std::array<std::vector<double>, count> slopes;
            for (std::size_t k = 0; k < count; ++k) {
                Parameters trial = p;
                trial[k] += step[k];
                misfit(lens, trial, moved);
                slopes[k].resize(samples_.size());
                for (std::size_t i = 0; i < samples_.size(); ++i) slopes[k][i] = (moved[i] - residual[i]) / step[k];
            }
            vnl_vector<double> right(count, 0.0);
            curvature.fill(0.0);
            for (std::size_t i = 0; i < samples_.size(); ++i) {
                const double weight = robust(residual[i]) * samples_[i].weight;
                for (std::size_t r = 0; r < count; ++r) {
                    right[static_cast<unsigned>(r)] -= weight * slopes[r][i] * residual[i];
                    for (std::size_t c = r; c < count; ++c) curvature(static_cast<unsigned>(r), static_cast<unsigned>(c)) += weight * slopes[r][i] * slopes[c][i];
                }
            }
            for (unsigned r = 0; r < count; ++r)
                for (unsigned c = 0; c < r; ++c) curvature(r, c) = curvature(c, r);
            for (std::size_t k = 0; k < count; ++k) {
                const Prior prior = usual(lens, static_cast<Parameter>(k));
                right[static_cast<unsigned>(k)] += (prior.mean - p[k]) / (prior.spread * prior.spread);
                curvature(static_cast<unsigned>(k), static_cast<unsigned>(k)) += 1.0 / (prior.spread * prior.spread);
            }
            bool better = false;
            double size = 0.0;
            for (int attempt = 0; attempt < 5 && !better; ++attempt) {
                vnl_matrix<double> damped = curvature;
                for (unsigned k = 0; k < count; ++k) damped(k, k) *= 1.0 + damping;
                vnl_vector<double> change = vnl_cholesky(damped, vnl_cholesky::quiet).solve(right);
                constexpr Parameters farthest{4.0, 4.0, 0.5, 0.5, 0.5};
                double over = 1.0;
                for (std::size_t k = 0; k < count; ++k) over = std::max(over, std::abs(change[static_cast<unsigned>(k)]) / farthest[k]);
                change /= over;
                Parameters trial = p;
                for (std::size_t k = 0; k < count; ++k) trial[k] += change[static_cast<unsigned>(k)];
                trial[thickness] = std::max(lens.kind == LensKind::none ? 0.0 : 0.4, trial[thickness]);
                trial[chamber] = std::max(0.8, trial[chamber]);
                if (off_ahead(trial) < farthest_gaze_deg) {
                    const double there = misfit(lens, trial, moved);
                    if (there < here) {
                        better = true, size = std::max({std::abs(change[0]) / 3.0, std::abs(change[1]) / 3.0, std::abs(change[2]), std::abs(change[3]), std::abs(change[4])});
                        p = trial, here = there, residual.swap(moved);
                    }
                }
                damping = std::clamp(better ? 0.3 * damping : 6.0 * damping, 1e-4, 1e3);
            }
            if (!better || size < 0.01) break;
        }
        return here;
    }
    /// The summit reached from a tilt, all else as is usual.
    [[nodiscard]] Reached reached(const Lens& lens, const Parameters& from, int rounds) const {
        Reached r{&lens, from, 0.0, 0.0};
        for (const std::size_t k : {cornea, chamber, thickness}) r.at[k] = usual(lens, static_cast<Parameter>(k)).mean;
        vnl_matrix<double> curvature;
        r.left = settle(lens, r.at, curvature, rounds);
        const vnl_matrix<double> covariance = vnl_cholesky(curvature, vnl_cholesky::quiet).inverse();
        r.axis_uncertainty_deg = std::sqrt(std::max(covariance(tilt_across, tilt_across), covariance(tilt_other, tilt_other)));
        return r;
    }

private:
    struct Prior {
        double mean, spread;
    };
    [[nodiscard]] Prior usual(const Lens& lens, Parameter k) const {
        switch (k) {
            case tilt_across: return {ahead_[0], usual_gaze_deg};
            case tilt_other: return {ahead_[1], usual_gaze_deg};
            case cornea: return {expected_cornea_, cornea_spread_mm};
            case chamber: return {lens.chamber_mm, lens.chamber_spread_mm};
            default: return {lens.thickness_mm, lens.kind == LensKind::none ? 0.01 : 0.4};
        }
    }
    // How far gaze departs from straight ahead, where a cornea may stand, and how many samples err together in what no such model explains: assumed.
    static constexpr double usual_gaze_deg = 12.0, cornea_spread_mm = 0.5, err_together = 8.0;
    static double robust(double residual) {
        constexpr double tolerated = 2.5;
        return 1.0 / std::max(1.0, std::abs(residual) / tolerated);
    }
    void look(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, int all_directions) {
        constexpr double first_mm = 4.0, step_mm = 0.6, beyond_mm = 1.8;
        const double front = std::cos(65.0 * radians), radius = fit.radius_mm();
        const auto& g = grid.geometry();
        const double voxel = g.spacing_mm()[0] * g.spacing_mm()[1] * g.spacing_mm()[2];
        constexpr double voxel_share = 0.12, series_blur_mm = 0.4;   // as WallCourse has; the latter assumed
        const std::vector<PatientVector> directions = even_directions<PatientLps>(all_directions);
        const double solid = 4.0 * std::numbers::pi / static_cast<double>(directions.size());
        std::size_t direction = 0;
        for (const PatientVector& d : directions) {
            if (dot(d, start_) < front) continue;
            const double along = voxel_length_mm(g, d), blur = std::sqrt(series_blur_mm * series_blur_mm + voxel_share * along * along), globe = fit.outer.at(d);
            const double last = std::max(globe, dot(d, start_) > 0.85 ? radius + 1.3 : 0.0) + beyond_mm;
            for (double r = first_mm; r < last; r += step_mm) {
                ++looked_;
                const PatientPoint p = fit.centre + d * r;
                if (!g.contains(p, 0.5)) continue;
                const double raw = static_cast<double>(grid.sample(p)), v = modality == Modality::ct ? std::clamp(raw, -50.0, 120.0) : raw;   // of air and bone only that they are there
                const double independent = std::min(1.0, solid * r * r * step_mm / std::max(voxel, 1.0));
                const bool second = fit.fluids && fit.fluids->level.depth_of(p) > 0.0;
                const bool mixed = fit.fluids && std::abs(fit.fluids->level.depth_of(p)) < LayeredFluids::level_blur_mm;
                samples_.push_back({d * r, globe, v, (mixed ? 0.1 * independent : independent) / err_together, blur, direction, second});
            }
            ++direction;
        }
        directions_ = direction;
        fluids_differ_ = fit.fluids.has_value();
        axial_blur_ = std::sqrt(series_blur_mm * series_blur_mm + voxel_share * std::pow(voxel_length_mm(g, start_), 2));
        std::vector<double> all, within;
        constexpr double well_within_mm = 1.5;
        for (const Sample& s : samples_) {
            all.push_back(s.value);
            if (length(s.at) < s.globe_mm - well_within_mm) within.push_back(s.value);
        }
        if (within.empty()) return;
        span_ = quantile(within, 0.97) - quantile(within, 0.03);
        // Parts are not of one signal throughout, least of all what lies before the eye: shares of what they span, assumed.
        constexpr double uneven_within = 0.07, uneven_before = 0.2, least = 0.02;
        const double span_of_all = quantile(all, 0.95) - quantile(all, 0.05);
        scale_ = std::max({std::hypot(uneven_within * span_, fit.interior_spread), least * span_of_all, 1e-9});
        before_scale_ = uneven_before * span_of_all;
    }
    /// Shares of the layers in a sample; what is left of 1 lies before the eye.
    [[nodiscard]] std::array<double, layers> shares(const Lens& lens, const Parameters& p, PatientVector axis, const Sample& s) const {
        constexpr double curvature = CorneaPlace::radius_of_curvature_mm;
        const double r2 = dot(s.at, s.at), r = std::sqrt(r2), z = dot(s.at, axis), across2 = std::max(0.0, r2 - z * z);
        const double cornea_centre = p[cornea] + CorneaPlace::thickness_mm - curvature, from_cornea = std::sqrt(across2 + (z - cornea_centre) * (z - cornea_centre));
        const double outside = z > cornea_centre ? std::min(r - s.globe_mm, from_cornea - curvature) : r - s.globe_mm;
        const double beyond_wall = z > cornea_centre ? std::min(r - s.globe_mm + anterior_sclera_mm, from_cornea - curvature + CorneaPlace::thickness_mm) : r - s.globe_mm + anterior_sclera_mm;
        const double eye = blurred_step(-outside, s.blur_mm), cavity = blurred_step(-beyond_wall, s.blur_mm);
        std::array<double, layers> share{};
        share[5] = eye - cavity;
        double left = cavity;
        const double lens_front = p[cornea] - p[chamber], half = 0.5 * p[thickness], middle = lens_front - half;
        if (lens.kind != LensKind::none) {
            const double q = std::sqrt(across2 / (lens.radius_mm * lens.radius_mm) + (z - middle) * (z - middle) / (half * half));
            const double slope = std::sqrt(across2 / std::pow(lens.radius_mm, 4) + (z - middle) * (z - middle) / std::pow(half, 4)) / std::max(q, 1e-9);
            share[3] = left * blurred_step((1.0 - q) / std::max(slope, 1.0 / lens.radius_mm), axial_blur_);
            left -= share[3];
        }
        const double within = -beyond_wall, rim = blurred_step(ciliary_mm - within, s.blur_mm) * blurred_step(z - lens_front + ciliary_reach_mm, axial_blur_) * blurred_step(lens_front + 0.3 - z, axial_blur_) *
                                                  blurred_step(std::sqrt(across2) - 5.0, axial_blur_);
        share[4] = left * rim;
        left -= share[4];
        share[2] = left * blurred_step(z - lens_front, axial_blur_);
        left -= share[2];
        share[s.second_fluid ? 1 : 0] = left;
        return share;
    }
    /// With the signals at their best; `residual` in units of what may be.
    double misfit(const Lens& lens, const Parameters& p, std::vector<double>& residual) const {
        const PatientVector axis = Front::axis(p);
        vnl_matrix<double> normal(layers, layers, 0.0);
        vnl_vector<double> right(layers, 0.0);
        // What lies before the wall: one signal in each direction, eliminated.
        struct Before {
            double square = 0.0, signal = 0.0;
            std::array<double, layers> with{};
        };
        std::vector<Before> before(directions_);
        std::vector<std::array<double, layers>>& rows = rows_;
        rows.resize(samples_.size());
        for (std::size_t i = 0; i < samples_.size(); ++i) {
            const Sample& s = samples_[i];
            rows[i] = shares(lens, p, axis, s);
            double out = 1.0;
            for (const double share : rows[i]) out -= share;
            Before& b = before[s.direction];
            b.square += s.weight * out * out, b.signal += s.weight * out * s.value;
            for (unsigned r = 0; r < layers; ++r) {
                if (rows[i][r] == 0.0) continue;
                b.with[r] += s.weight * out * rows[i][r];
                right[r] += s.weight * rows[i][r] * s.value;
                for (unsigned c = r; c < layers; ++c) normal(r, c) += s.weight * rows[i][r] * rows[i][c];
            }
        }
        constexpr double hold = 1e-3;
        for (const Before& b : before)
            for (unsigned r = 0; r < layers; ++r) {
                right[r] -= b.with[r] * b.signal / (b.square + hold);
                for (unsigned c = r; c < layers; ++c) normal(r, c) -= b.with[r] * b.with[c] / (b.square + hold);
            }
        for (unsigned r = 0; r < layers; ++r) {
            normal(r, r) += hold;
            for (unsigned c = 0; c < r; ++c) normal(r, c) = normal(c, r);
        }
        // The chamber holds fluid like the vitreous, unless that was replaced.
        if (!fluids_differ_) {
            const double told = 1.0 / std::pow(chamber_differs * span_ / scale_, 2) ;
            normal(0, 0) += told, normal(2, 2) += told, normal(0, 2) -= told, normal(2, 0) -= told;
        }
        const vnl_vector<double> signal = vnl_cholesky(normal, vnl_cholesky::quiet).solve(right);
        double sum = fluids_differ_ ? 0.0 : std::pow((signal[0] - signal[2]) / (chamber_differs * span_), 2);
        for (std::size_t i = 0; i < samples_.size(); ++i) {
            const Sample& s = samples_[i];
            const Before& b = before[s.direction];
            double explained = 0.0, out = 1.0, beyond = b.signal;
            for (unsigned r = 0; r < layers; ++r) explained += rows[i][r] * signal[r], out -= rows[i][r], beyond -= b.with[r] * signal[r];
            explained += out * beyond / (b.square + hold);
            const double uneven = std::hypot(scale_, before_scale_ * out);
            residual[i] = (s.value - explained) / uneven;
            const double size = std::abs(residual[i]);
            constexpr double tolerated = 2.5;
            sum += s.weight * ((size < tolerated ? size * size : tolerated * (2.0 * size - tolerated)) + 2.0 * std::log(uneven / scale_));
        }
        for (std::size_t k = 0; k < count; ++k) {
            const Prior prior = usual(lens, static_cast<Parameter>(k));
            sum += std::pow((p[k] - prior.mean) / prior.spread, 2);
        }
        return sum;
    }

    PatientVector start_, across_{}, other_{};
    std::array<double, 2> ahead_{};
    double expected_cornea_, axial_blur_ = 0.5, span_ = 1.0, scale_ = 1.0, before_scale_ = 0.0;
    std::vector<Sample> samples_;
    mutable std::vector<std::array<double, layers>> rows_;
    std::size_t looked_ = 0, directions_ = 0;
    bool fluids_differ_ = false;
    static constexpr double chamber_differs = 0.1;
};

}  // namespace

std::optional<FrontModel> fit_front(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector start, PatientVector ahead, double cornea_mm, FrontSearch search) {
    // Which of several summits is the highest shows on few directions; how high, on many.
    constexpr int few = 240, many = 600;
    const Front coarse(grid, modality, fit, start, ahead, cornea_mm, few);
    if (!coarse.seen()) return std::nullopt;
    std::vector<Parameters> starts{{}};
    if (search == FrontSearch::wide) {
        constexpr double apart_deg = 12.0;
        const auto [ahead_across, ahead_other] = coarse.ahead();
        for (const auto& [across, other] : {std::array{ahead_across, ahead_other}, {apart_deg, 0.0}, {-apart_deg, 0.0}, {0.0, apart_deg}, {0.0, -apart_deg}}) starts.push_back({across, other});
    }
    // An eye with a lens has its axis where the same eye without one would.
    constexpr int soon = 5, in_the_end = 12;
    constexpr std::size_t kept = 2;
    std::vector<Reached> summits;
    for (const Parameters& from : starts) summits.push_back(coarse.reached(lenses.front(), from, soon));
    std::sort(summits.begin(), summits.end());
    std::vector<Reached> reached;
    for (std::size_t i = 0; i < std::min(kept, summits.size()); ++i)
        for (const Lens& lens : lenses) reached.push_back(coarse.reached(lens, summits[i].at, in_the_end));
    const Reached best = *std::min_element(reached.begin(), reached.end());
    // What only turns as far as it may has found no summit.
    constexpr double nearly_deg = 3.0;
    if (coarse.off_ahead(best.at) > farthest_gaze_deg - nearly_deg) return std::nullopt;
    const Front front(grid, modality, fit, coarse.axis(best.at), ahead, cornea_mm, many);
    if (!front.seen()) return std::nullopt;
    Parameters from = best.at;
    from[tilt_across] = from[tilt_other] = 0.0;
    const Reached settled = front.reached(*best.lens, from, in_the_end);
    // Rivals nearly as good put the axis in doubt.
    double shares = 0.0, squares = 0.0;
    reached.insert(reached.end(), summits.begin(), summits.end());
    for (const Reached& rival : reached) {
        const double share = std::exp(-0.5 * (rival.left - best.left));
        shares += share, squares += share * 0.5 * (std::pow(rival.at[tilt_across] - best.at[tilt_across], 2) + std::pow(rival.at[tilt_other] - best.at[tilt_other], 2));
    }
    return FrontModel{front.axis(settled.at), std::hypot(settled.axis_uncertainty_deg, std::sqrt(squares / shares))};
}

}  // namespace perisclera
