// SPDX-License-Identifier: Apache-2.0
#include "eye_likeness.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/anatomy/directions.h"
#include "value_at.h"

namespace perisclera {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr int directions = 700;
constexpr double deepest_mm = -8.0, step_mm = 1.0;

/// Places that turn with the eye: its inside, its wall, the cornea. Muscles and fat about it turn little, the lids not at all.
std::vector<EyePoint> places_in(const Globe& globe) {
    // The cornea stands before the sphere; within a millimetre of its front lie tears and lids.
    constexpr double limbus = 0.55, cornea_mm = 1.0;
    std::vector<EyePoint> places;
    for (const EyeVector& d : even_directions<EyeLocal>(directions)) {
        const double radius = globe.outer_radius_mm(globe.frame.to_patient(d)), top = d.z > limbus ? cornea_mm * (d.z - limbus) / (1.0 - limbus) : 0.0;
        for (double h = top; h >= deepest_mm; h -= step_mm) places.push_back(EyePoint{0, 0, 0} + d * (radius + h));
    }
    return places;
}

std::vector<float> values_at(const VoxelGrid& grid, const EyeFrame& frame, const std::vector<EyePoint>& places) {
    std::vector<float> values;
    values.reserve(places.size());
    for (const EyePoint& p : places) values.push_back(value_at(grid, frame.to_patient(p)));
    return values;
}

/// The second series' own axis, where the head carries the eye's middle. The eye turns straight from one direction to the other, as Listing's law has it.
EyeFrame start_at(const EyeInSeries& first, const EyeInSeries& second, const HeadMove& head) {
    const EyeFrame &a = first.globe.frame, &b = second.globe.frame;
    return {head.to, b.anterior(), swung(head.carried(a.superior()), head.carried(a.anterior()), b.anterior())};
}

/// Nobody turns so far that straight is no way.
bool may_be_carried(const EyeInSeries& first, const EyeInSeries& second, const HeadMove& head) {
    return dot(head.carried(first.globe.frame.anterior()), second.globe.frame.anterior()) > 0.0;
}

/// Logarithm of Student's distribution of few degrees of freedom over n components, whose squares relative to the scale sum up to `squares`: most are near, some far off.
double student(double squares, double n) {
    constexpr double freedom = 4.0;
    return -0.5 * (freedom + n) * std::log1p(squares / freedom);
}

}  // namespace

EyeLikeness::EyeLikeness(const EyeInSeries& first, const EyeInSeries& second, const std::optional<HeadMove>& head)
    : second_(smoothed_eye(second)),
      base_(second.globe.frame),
      spread_{},
      own_shift_{0, 0, 0},
      head_known_(head && may_be_carried(first, second, *head)),
      places_(places_in(first.globe)),
      first_values_(values_at(smoothed_eye(first), first.globe.frame, places_)),
      information_(first_values_),
      moved_(places_.size()) {
    if (head_known_) base_ = start_at(first, second, *head);
    own_shift_ = base_.to_eye(second.globe.frame.origin() - base_.origin());
    // What is stated of axes and centres, by as much as it is too sure. Torsion: Listing's law by the head's turn, or frames levelled each by itself. Both by drawn patients.
    constexpr double of_axes = 1.1, of_centres = 1.3, torsion_by_head = 1.2 * degree, torsion_by_levels = 2.5 * degree;
    spread_ = {of_axes * std::hypot(first.globe.axis_uncertainty.value(), second.globe.axis_uncertainty.value()) * degree, head_known_ ? torsion_by_head : torsion_by_levels,
               of_centres * std::hypot(first.globe.centre_uncertainty.value(), second.globe.centre_uncertainty.value())};
    fetch({});
    information_.set_second_range(moved_);
    // Places within one voxel tell the same thing, and tissue is no random noise: the share is our own choice, by drawn patients. What is filled by two fluids is ordered by gravity, not by the eye.
    constexpr double share_told = 0.03, share_of_layered = 0.3;
    constexpr double shell_mm3 = 4.0 / 3.0 * std::numbers::pi * (12.0 * 12.0 * 12.0 - 4.0 * 4.0 * 4.0);
    const double voxel_mm3 = std::max(first.grid.geometry().voxel_volume_mm3(), second.grid.geometry().voxel_volume_mm3());
    independent_ = share_told * std::min(static_cast<double>(places_.size()), shell_mm3 / voxel_mm3);
    if (first.globe.layered || second.globe.layered) independent_ *= share_of_layered;
}

double EyeLikeness::operator()(const Pose& pose) {
    fetch(pose);
    return independent_ * information_.with(moved_) + prior(pose);
}

EyeFrame EyeLikeness::posed(const Pose& pose) const {
    const EyeVector turn{pose[0], pose[1], pose[2]};
    return {base_.origin() + base_.to_patient(EyeVector{pose[3], pose[4], pose[5]}), base_.to_patient(turned(EyeVector{0, 0, 1}, turn)), base_.to_patient(turned(EyeVector{0, 1, 0}, turn))};
}

double EyeLikeness::prior(const Pose& pose) const {
    // Fat is shifted against water on MR, and the eye's middle moves somewhat as it turns: by drawn patients, whose eyes turn about their middles.
    constexpr double head_shift_mm = 0.3;
    const auto square = [](double value, double spread) { return value * value / (spread * spread); };
    const EyeVector shift{pose[3], pose[4], pose[5]}, from_own = shift - own_shift_;
    double sum = student(square(pose[0], spread_.axis) + square(pose[1], spread_.axis), 2.0) - 0.5 * square(pose[2], spread_.torsion);
    sum += student(square(length(from_own), spread_.own_shift_mm), 3.0);
    if (head_known_) sum += student(square(length(shift), head_shift_mm), 3.0);
    return sum;
}

void EyeLikeness::fetch(const Pose& pose) {
    const EyeFrame frame = posed(pose);
    for (std::size_t i = 0; i < places_.size(); ++i) moved_[i] = std::isnan(first_values_[i]) ? first_values_[i] : value_at(second_, frame.to_patient(places_[i]));
}

}  // namespace perisclera
