// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where one eye of a scenario truly lies in one of its series, and its true outer surface, not dented by an explant. By the phantoms' own shapes; patient
// coordinates of the series, eye coordinates about the true centre; mm.
#include <optional>

#include "perisclera/image/volume_geometry.h"
#include "phantoms/head_model.h"
#include "phantoms/head_pose.h"

namespace perisclera::globes {

class TrueEye {
public:
    TrueEye(phantoms::GlobeShape shape, phantoms::EyePlacement placement, phantoms::HeadPose pose) : shape_(shape), placement_(placement), pose_(pose) {}
    [[nodiscard]] const phantoms::GlobeShape& shape() const { return shape_; }
    [[nodiscard]] PatientPoint centre() const { return pose_.to_patient(placement_.centre); }
    [[nodiscard]] PatientVector anterior() const { return pose_.to_patient(placement_.anterior); }
    [[nodiscard]] PatientVector superior() const { return pose_.to_patient(placement_.superior); }
    [[nodiscard]] PatientVector towards_left() const { return pose_.to_patient(placement_.towards_left); }
    [[nodiscard]] PatientPoint to_patient(EyePoint p) const { return pose_.to_patient(placement_.to_head(p)); }

private:
    phantoms::GlobeShape shape_;
    phantoms::EyePlacement placement_;
    phantoms::HeadPose pose_;
};

/// Nothing where something else, or nothing, lies in the globe's place.
std::optional<TrueEye> true_eye(const phantoms::Timepoint& visit, const phantoms::Series& series, Eye eye);

/// Share of the globe's volume within the images, 0..1.
double share_held(const TrueEye& eye, const VolumeGeometry& images);

/// Points on the outer sclera behind the limbus, spread evenly over directions from the true centre.
std::vector<PatientPoint> scleral_points(const TrueEye& eye);

/// 24 points of the outer sclera round the equator, 90 degrees from the axis.
std::vector<EyePoint> equator_points(const TrueEye& eye);

}  // namespace perisclera::globes
