// SPDX-License-Identifier: Apache-2.0
#include "front_model.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "front_body.h"

namespace perisclera {

namespace {

constexpr double farthest_gaze_deg = 55.0;   // of an eye that looks aside by 25 degrees, in a head that lies askew by 30
constexpr std::size_t count = FrontBody::count;
using Parameters = FrontBody::Parameters;

struct Reached {
    const UsualLens* lens;
    Parameters at;
    double left, axis_uncertainty_deg;
    bool operator<(const Reached& other) const { return left < other.left; }
};

/// Samples far off what is explained count less (Huber's weights).
double robust(double residual) { return 1.0 / std::max(1.0, std::abs(residual) / FrontBody::tolerated); }

/// Moves to where the misfit is least, by damped least squares; the curvature there.
double settle(FrontBody& body, const UsualLens& lens, Parameters& p, vnl_matrix<double>& curvature, int rounds) {
    constexpr Parameters step{0.3, 0.3, 0.05, 0.05, 0.05};
    const std::vector<FrontSample>& samples = body.samples();
    double damping = 1e-2;
    std::vector<double> residual(samples.size()), moved(samples.size());
    double here = body.misfit(lens, p, residual);
    curvature.set_size(count, count);
    for (int round = 0; round < rounds; ++round) {
        std::array<std::vector<double>, count> slopes;
        for (std::size_t k = 0; k < count; ++k) {
            Parameters trial = p;
            trial[k] += step[k];
            body.misfit(lens, trial, moved);
            slopes[k].resize(samples.size());
            for (std::size_t i = 0; i < samples.size(); ++i) slopes[k][i] = (moved[i] - residual[i]) / step[k];
        }
        vnl_vector<double> right(count, 0.0);
        curvature.fill(0.0);
        for (std::size_t i = 0; i < samples.size(); ++i) {
            const double weight = robust(residual[i]) * samples[i].weight;
            for (std::size_t r = 0; r < count; ++r) {
                right[static_cast<unsigned>(r)] -= weight * slopes[r][i] * residual[i];
                for (std::size_t c = r; c < count; ++c) curvature(static_cast<unsigned>(r), static_cast<unsigned>(c)) += weight * slopes[r][i] * slopes[c][i];
            }
        }
        for (unsigned r = 0; r < count; ++r)
            for (unsigned c = 0; c < r; ++c) curvature(r, c) = curvature(c, r);
        for (std::size_t k = 0; k < count; ++k) {
            const FrontBody::Usual prior = body.usual(lens, static_cast<FrontBody::Parameter>(k));
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
            trial[FrontBody::thickness] = std::max(lens.kind == LensKind::none ? 0.0 : 0.4, trial[FrontBody::thickness]);
            trial[FrontBody::chamber] = std::max(0.8, trial[FrontBody::chamber]);
            if (body.off_ahead(trial) < farthest_gaze_deg) {
                const double there = body.misfit(lens, trial, moved);
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
Reached reached(FrontBody& body, const UsualLens& lens, const Parameters& from, int rounds) {
    Reached r{&lens, from, 0.0, 0.0};
    for (const std::size_t k : {FrontBody::cornea, FrontBody::chamber, FrontBody::thickness}) r.at[k] = body.usual(lens, static_cast<FrontBody::Parameter>(k)).mean;
    vnl_matrix<double> curvature;
    r.left = settle(body, lens, r.at, curvature, rounds);
    const vnl_matrix<double> covariance = vnl_cholesky(curvature, vnl_cholesky::quiet).inverse();
    r.axis_uncertainty_deg = std::sqrt(std::max(covariance(FrontBody::tilt_across, FrontBody::tilt_across), covariance(FrontBody::tilt_other, FrontBody::tilt_other)));
    return r;
}

}  // namespace

std::optional<FrontModel> fit_front(const VoxelGrid& grid, Modality modality, const GlobeFit& fit, PatientVector start, PatientVector ahead, double cornea_mm, FrontSearch search) {
    // Which of several summits is the highest shows on few directions; how high, on many.
    constexpr int few = 240, many = 600;
    FrontBody coarse(grid, modality, fit, start, ahead, cornea_mm, few);
    if (!coarse.is_imaged()) return std::nullopt;
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
    for (const Parameters& from : starts) summits.push_back(reached(coarse, usual_lenses.front(), from, soon));
    std::sort(summits.begin(), summits.end());
    std::vector<Reached> found;
    for (std::size_t i = 0; i < std::min(kept, summits.size()); ++i)
        for (const UsualLens& lens : usual_lenses) found.push_back(reached(coarse, lens, summits[i].at, in_the_end));
    const Reached best = *std::min_element(found.begin(), found.end());
    // What only turns as far as it may has found no summit.
    constexpr double nearly_deg = 3.0;
    if (coarse.off_ahead(best.at) > farthest_gaze_deg - nearly_deg) return std::nullopt;
    FrontBody front(grid, modality, fit, coarse.axis(best.at), ahead, cornea_mm, many);
    if (!front.is_imaged()) return std::nullopt;
    Parameters from = best.at;
    from[FrontBody::tilt_across] = from[FrontBody::tilt_other] = 0.0;
    const Reached settled = reached(front, *best.lens, from, in_the_end);
    // Rivals nearly as good put the axis in doubt.
    double shares = 0.0, squares = 0.0;
    found.insert(found.end(), summits.begin(), summits.end());
    for (const Reached& rival : found) {
        const double share = std::exp(-0.5 * (rival.left - best.left));
        shares += share, squares += share * 0.5 * (std::pow(rival.at[FrontBody::tilt_across] - best.at[FrontBody::tilt_across], 2) + std::pow(rival.at[FrontBody::tilt_other] - best.at[FrontBody::tilt_other], 2));
    }
    return FrontModel{front.axis(settled.at), std::hypot(settled.axis_uncertainty_deg, std::sqrt(squares / shares))};
}

}  // namespace perisclera
