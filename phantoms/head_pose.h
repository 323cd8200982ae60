// SPDX-License-Identifier: Apache-2.0
#pragma once
// How the head lies in the scanner during one series: head coordinates to DICOM patient coordinates and back.
#include <array>

#include "head_frame.h"
#include "perisclera/image/volume_geometry.h"
#include "scenario.h"

namespace perisclera::phantoms {

class HeadPose {
public:
    explicit HeadPose(const Series& series);
    [[nodiscard]] PatientPoint to_patient(HeadPoint p) const;
    [[nodiscard]] PatientVector to_patient(HeadVector v) const;
    [[nodiscard]] HeadPoint to_head(PatientPoint p) const;
    [[nodiscard]] HeadVector to_head(PatientVector v) const;
    /// Where gravity points in the head: the patient lies supine.
    [[nodiscard]] HeadVector down() const { return to_head(PatientVector{0.0, 1.0, 0.0}); }

private:
    std::array<PatientVector, 3> axes_;  ///< the head's axes in the patient system
    PatientPoint origin_;
};

/// The series' grid of voxels, laid over the orbits as the head lies. Error: as VolumeGeometry::make.
Result<VolumeGeometry> series_geometry(const Series& series, const HeadPose& pose);

}  // namespace perisclera::phantoms
