// SPDX-License-Identifier: Apache-2.0
#include "head_move.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "mutual_information.h"
#include "steps_uphill.h"
#include "value_at.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0;

/// Bone and air end the range of what tells where a head lies on CT.
float shown(const EyeInSeries& eye, PatientPoint p) {
    const float value = value_at(eye.grid, p);
    return eye.modality == Modality::ct ? std::clamp(value, -300.0f, 400.0f) : value;
}

/// From the eye's middle.
std::vector<PatientVector> places_round(const EyeInSeries& eye, double step_mm) {
    constexpr double farthest_mm = 60.0, round_globe_mm = 4.0;
    const double nearest_mm = eye.globe.equatorial_radius_mm() + round_globe_mm;
    const int count = static_cast<int>(farthest_mm / step_mm);
    std::vector<PatientVector> places;
    for (int x = -count; x <= count; ++x)
        for (int y = -count; y <= count; ++y)
            for (int z = -count; z <= count; ++z) {
                const PatientVector p{x * step_mm, y * step_mm, z * step_mm};
                const double away = length(p);
                if (away > nearest_mm && away < farthest_mm && eye.grid.geometry().contains(eye.globe.frame.origin() + p)) places.push_back(p);
            }
    return places;
}

class HeadLikeness {
public:
    HeadLikeness(const EyeInSeries& first, const EyeInSeries& second, double step_mm)
        : second_(second), places_(places_round(first, step_mm)), first_values_(values_of(first)), information_(first_values_), moved_(places_.size()) {
        fetch({});
        information_.set_second_range(moved_);
    }
    [[nodiscard]] std::size_t places() const { return places_.size(); }
    /// Log probability, up to a constant: heads lie much alike in any scanner, and the globes have been found, if at times some mm off.
    double operator()(const Pose& pose) {
        // Tissue is no random noise: the share is our own choice, by drawn patients.
        constexpr double usual_turn = 15.0 * degree, usual_shift_mm = 0.7, share_told = 0.1;
        fetch(pose);
        const double turn = std::hypot(pose[0], pose[1], pose[2]) / usual_turn, shift = std::hypot(pose[3], pose[4], pose[5]) / usual_shift_mm;
        return share_told * static_cast<double>(places_.size()) * information_.with(moved_) - 0.5 * turn * turn - 2.0 * std::log1p(shift * shift);
    }

private:
    [[nodiscard]] std::vector<float> values_of(const EyeInSeries& eye) const {
        std::vector<float> values;
        values.reserve(places_.size());
        for (const PatientVector& p : places_) values.push_back(shown(eye, eye.globe.frame.origin() + p));
        return values;
    }
    void fetch(const Pose& pose) {
        const PatientVector turn{pose[0], pose[1], pose[2]}, shift{pose[3], pose[4], pose[5]};
        const PatientVector x = turned(PatientVector{1, 0, 0}, turn), y = turned(PatientVector{0, 1, 0}, turn), z = turned(PatientVector{0, 0, 1}, turn);
        const PatientPoint middle = second_.globe.frame.origin() + shift;
        for (std::size_t i = 0; i < places_.size(); ++i) {
            const PatientVector& p = places_[i];
            moved_[i] = shown(second_, middle + x * p.x + y * p.y + z * p.z);
        }
    }

    EyeInSeries second_;
    std::vector<PatientVector> places_;
    std::vector<float> first_values_;
    MutualInformation information_;
    std::vector<float> moved_;
};

std::vector<Found> all_round(HeadLikeness& likeness) {
    constexpr int each_way = 3;
    constexpr double apart = 10.0 * degree;
    std::vector<Found> tried;
    for (int x = -each_way; x <= each_way; ++x)
        for (int y = -each_way; y <= each_way; ++y)
            for (int z = -each_way; z <= each_way; ++z) {
                const Pose pose{x * apart, y * apart, z * apart, 0, 0, 0};
                tried.push_back({pose, likeness(pose)});
            }
    std::stable_sort(tried.begin(), tried.end(), [](const Found& a, const Found& b) { return a.value > b.value; });
    return tried;
}

double turn_apart(const Found& a, const Found& b) { return std::hypot(a.pose[0] - b.pose[0], a.pose[1] - b.pose[1], a.pose[2] - b.pose[2]); }

}  // namespace

std::optional<HeadMove> head_move(const EyeInSeries& first, const EyeInSeries& second) {
    constexpr double coarse_mm = 8.0, fine_mm = 4.0;
    // A quarter of the cube in which a usual series of the orbits shows the head.
    constexpr std::size_t fewest_places = 300;
    constexpr Pose coarse_steps{5.0 * degree, 5.0 * degree, 5.0 * degree, 0.7, 0.7, 0.7}, fine_steps{1.5 * degree, 1.5 * degree, 1.5 * degree, 0.5, 0.5, 0.5};
    HeadLikeness coarse(first, second, coarse_mm);
    if (coarse.places() < fewest_places) return std::nullopt;
    std::vector<Found> followed = all_round(coarse);
    followed.resize(4);
    for (Found& f : followed) f = uphill(coarse, f, coarse_steps, 5);
    const Found best = *std::max_element(followed.begin(), followed.end(), [](const Found& a, const Found& b) { return a.value < b.value; });
    // Nine in ten would be right if the best were three nats before a rival; ends that differ by less are one.
    constexpr double one_way = 6.0 * degree, least_lead = 3.0;
    for (const Found& f : followed)
        if (turn_apart(f, best) > one_way && f.value > best.value - least_lead) return std::nullopt;
    HeadLikeness fine(first, second, fine_mm);
    const Pose found = uphill(fine, {best.pose, fine(best.pose)}, fine_steps, 6).pose;
    return HeadMove{second.globe.frame.origin() + PatientVector{found[3], found[4], found[5]}, {found[0], found[1], found[2]}};
}

}  // namespace perisclera
