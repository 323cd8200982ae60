// SPDX-License-Identifier: Apache-2.0
#include "true_eye.h"

#include <cmath>

#include "perisclera/anatomy/directions.h"

namespace perisclera::globes {

using namespace phantoms;

std::optional<TrueEye> true_eye(const Timepoint& visit, const Series& series, Eye eye) {
    const EyeState& state = visit.eyes[index_of(eye)];
    if (without_globe(state.look_alikes)) return std::nullopt;
    const HeadPose pose(series);
    // What fills a part of an eye takes long to level, and moves no globe.
    std::array<EyeState, 2> eyes = visit.eyes;
    for (EyeState& one : eyes) one.contents_share = 1.0;
    const HeadModel head(eyes, series.gaze_deg, pose.down());
    return TrueEye(shape_of(state), head.placement(eye), pose);
}

double share_held(const TrueEye& eye, const VolumeGeometry& images) {
    constexpr int shells = 12;
    double whole = 0.0, held = 0.0;
    for (const EyeVector& direction : even_directions<EyeLocal>(500)) {
        const double outer = eye.shape().outer(direction), volume = outer * outer * outer;
        for (int shell = 0; shell < shells; ++shell) {
            // The middles of shells of equal volume.
            const double radius = outer * std::cbrt((shell + 0.5) / shells);
            whole += volume;
            if (images.contains(eye.to_patient(EyePoint{0, 0, 0} + direction * radius))) held += volume;
        }
    }
    return held / whole;
}

std::vector<PatientPoint> scleral_points(const TrueEye& eye) {
    std::vector<PatientPoint> points;
    for (const EyeVector& direction : even_directions<EyeLocal>(2000))
        if (direction.z < std::cos(eye.shape().limbus_polar_angle())) points.push_back(eye.to_patient(EyePoint{0, 0, 0} + direction * eye.shape().outer(direction)));
    return points;
}

std::vector<EyePoint> equator_points(const TrueEye& eye) {
    constexpr int count = 24;
    std::vector<EyePoint> points;
    for (int i = 0; i < count; ++i) {
        const EyeVector direction{std::sin(2.0 * pi * i / count), std::cos(2.0 * pi * i / count), 0.0};
        points.push_back(EyePoint{0, 0, 0} + direction * eye.shape().outer(direction));
    }
    return points;
}

}  // namespace perisclera::globes
