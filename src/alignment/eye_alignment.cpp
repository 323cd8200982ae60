// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/eye_alignment.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "mutual_information.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0;

/// How the eye lies in the second series, against what that series told by itself: turned about the eye's own axes (radians; the third about the optic axis),
/// then shifted (mm).
using Pose = std::array<double, 6>;

EyeVector turned(EyeVector v, const Pose& pose) {
    const EyeVector w{pose[0], pose[1], pose[2]};
    const double angle = length(w);
    if (angle < 1e-12) return v;
    const EyeVector k = w / angle;
    return v * std::cos(angle) + cross(k, v) * std::sin(angle) + k * (dot(k, v) * (1.0 - std::cos(angle)));
}

EyeFrame posed(const EyeFrame& frame, const Pose& pose) {
    const PatientVector anterior = frame.to_patient(turned({0, 0, 1}, pose)), superior = frame.to_patient(turned({0, 1, 0}, pose));
    return {frame.origin() + frame.to_patient(EyeVector{pose[3], pose[4], pose[5]}), anterior, superior};
}

/// Bone, metal and air end the range of what an eye is made of on CT.
float clipped(float value, Modality modality) { return modality == Modality::ct ? std::clamp(value, -200.0f, 250.0f) : value; }

float sampled(const EyeInSeries& eye, PatientPoint p) {
    return eye.grid.geometry().contains(p) ? clipped(eye.grid.sample(p), eye.modality) : std::numeric_limits<float>::quiet_NaN();
}

/// Places that turn with the eye: its inside and its wall. Muscles and fat about it turn little, the lids not at all.
std::vector<EyePoint> places_in(const Globe& globe) {
    constexpr int directions = 700;
    constexpr double deepest_mm = -8.0, step_mm = 1.0;
    std::vector<EyePoint> places;
    for (const EyeVector& d : even_directions<EyeLocal>(directions)) {
        const double radius = globe.outer_radius_mm(globe.frame.to_patient(d));
        for (double h = deepest_mm; h <= 0.0; h += step_mm) places.push_back({d.x * (radius + h), d.y * (radius + h), d.z * (radius + h)});
    }
    return places;
}

class Comparison {
public:
    Comparison(const EyeInSeries& first, const EyeInSeries& second, const Pose& spread)
        : second_(second), spread_(spread), places_(places_in(first.globe)), first_values_(values_in(first, places_)), information_(first_values_), moved_(places_.size()) {
        fetch({});
        information_.set_second_range(moved_);
        // Places within one voxel tell the same thing.
        constexpr double shell_mm3 = 4.0 / 3.0 * std::numbers::pi * (12.0 * 12.0 * 12.0 - 4.0 * 4.0 * 4.0);
        const double voxel_mm3 = std::max(first.grid.geometry().voxel_volume_mm3(), second.grid.geometry().voxel_volume_mm3());
        independent_ = share_told * std::min(static_cast<double>(places_.size()), shell_mm3 / voxel_mm3);
    }
    /// Log probability of the pose, up to a constant.
    double operator()(const Pose& pose) {
        fetch(pose);
        double doubt = 0.0;
        for (std::size_t k = 2; k < pose.size(); ++k) doubt += pose[k] * pose[k] / (spread_[k] * spread_[k]);
        // An axis may be far off: Student's distribution of few degrees of freedom in the two directions of its error.
        constexpr double freedom = 4.0;
        doubt += (freedom + 2.0) * std::log1p((pose[0] * pose[0] + pose[1] * pose[1]) / (spread_[0] * spread_[0] * freedom));
        return independent_ * information_.with(moved_) - 0.5 * doubt;
    }

private:
    static constexpr double share_told = 0.1;   // tissue is no random noise: our own choice, by the pairs of seed 1 (tests/alignment.sh)
    static std::vector<float> values_in(const EyeInSeries& eye, const std::vector<EyePoint>& places) {
        std::vector<float> values;
        for (const EyePoint& p : places) values.push_back(sampled(eye, eye.globe.frame.to_patient(p)));
        return values;
    }
    void fetch(const Pose& pose) {
        const EyeFrame frame = posed(second_.globe.frame, pose);
        for (std::size_t i = 0; i < places_.size(); ++i)
            moved_[i] = std::isnan(first_values_[i]) ? first_values_[i] : sampled(second_, frame.to_patient(places_[i]));
    }

    EyeInSeries second_;
    Pose spread_;
    std::vector<EyePoint> places_;
    std::vector<float> first_values_;
    MutualInformation information_;
    std::vector<float> moved_;
    double independent_;
};

struct Found {
    Pose pose;
    double value;
};

/// One number of the pose after the other, each by the parabola through three places, in ever smaller steps.
Found refined(Comparison& probability, Found from) {
    constexpr int rounds = 6;
    Pose step{3.0 * degree, 3.0 * degree, 2.0 * degree, 0.5, 0.5, 0.5};
    for (int round = 0; round < rounds; ++round) {
        for (std::size_t k = 0; k < step.size(); ++k) {
            const auto at = [&](double off) {
                Pose pose = from.pose;
                pose[k] += off;
                return Found{pose, probability(pose)};
            };
            const Found low = at(-step[k]), high = at(step[k]);
            const double bend = low.value + high.value - 2.0 * from.value;
            Found best = low.value > high.value ? low : high;
            if (bend < 0.0) {
                const Found top = at(std::clamp(0.5 * step[k] * (low.value - high.value) / bend, -2.0 * step[k], 2.0 * step[k]));
                if (top.value > best.value) best = top;
            }
            if (best.value > from.value) from = best;
        }
        for (double& s : step) s *= 0.6;
    }
    return from;
}

/// By how much a number of the pose may be off: how fast the probability falls.
double doubt_of(Comparison& probability, const Found& found, std::size_t k, double step) {
    Pose low = found.pose, high = found.pose;
    low[k] -= step;
    high[k] += step;
    const double bend = (2.0 * found.value - probability(low) - probability(high)) / (step * step);
    return bend > 0.0 ? std::sqrt(1.0 / bend) : std::numeric_limits<double>::infinity();
}

/// Root mean square distance between both scleral surfaces, the cornea and what is near it left out.
double residual_mm(const Globe& first, const Globe& second, const EyeFrame& frame) {
    double sum = 0.0;
    int n = 0;
    for (const EyeVector& d : even_directions<EyeLocal>(300)) {
        if (d.z > 0.5) continue;
        const double r = first.outer_radius_mm(first.frame.to_patient(d));
        const PatientVector out = frame.to_patient(EyePoint{d.x * r, d.y * r, d.z * r}) - second.frame.origin();
        const double off = length(out) - second.outer_radius_mm(unit(out));
        sum += off * off;
        ++n;
    }
    return std::sqrt(sum / n);
}

}  // namespace

Result<AlignedEye> align_eye(const EyeInSeries& first, const EyeInSeries& second) {
    constexpr double farthest_apart_mm = 2.0, far_off = 12.0 * degree;
    // Each frame is levelled by the other globe. The least doubts are what series of like kind leave (pairs of seed 1, tests/alignment.sh).
    constexpr double torsion_spread = 1.0 * degree, least_turn = 0.9 * degree, least_shift_mm = 0.15;
    const double turn = std::hypot(first.globe.axis_uncertainty.value(), second.globe.axis_uncertainty.value()) * degree;
    const double shift = std::hypot(first.globe.centre_uncertainty.value(), second.globe.centre_uncertainty.value());
    Comparison probability(first, second, {turn, turn, torsion_spread, shift, shift, shift});
    Found best{{}, probability({})};
    for (const double off : {turn, far_off})
        for (int k = 0; k < 8; ++k) {
            const double around = 0.25 * std::numbers::pi * k;
            const Pose pose{off * std::cos(around), off * std::sin(around), 0, 0, 0, 0};
            if (const double value = probability(pose); value > best.value) best = {pose, value};
        }
    best = refined(probability, best);
    const EyeFrame frame = posed(second.globe.frame, best.pose);
    const double residual = residual_mm(first.globe, second.globe, frame);
    if (residual > farthest_apart_mm)
        return Error{ErrorCode::alignment_refused, say("series.surfaces_apart", {{"distance", std::to_string(residual).substr(0, 3)}}), "alignment", "look at each series by itself"};
    const double turn_doubt = std::max(doubt_of(probability, best, 0, 1.0 * degree), doubt_of(probability, best, 1, 1.0 * degree));
    const double torsion_doubt = doubt_of(probability, best, 2, 1.0 * degree);
    double shift_doubt = 0.0;
    for (const std::size_t k : {3u, 4u, 5u}) shift_doubt = std::max(shift_doubt, doubt_of(probability, best, k, 0.3));
    return AlignedEye{frame, Degrees(std::hypot(std::min(turn_doubt, turn), least_turn) / degree), Degrees(std::min(torsion_doubt, torsion_spread) / degree),
                      Mm(std::hypot(std::min(shift_doubt, shift), least_shift_mm)), Mm(residual)};
}

}  // namespace perisclera
