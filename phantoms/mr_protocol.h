// SPDX-License-Identifier: Apache-2.0
#pragma once
// The usual setting of each kind of MR series, and what a setting says in DICOM's words.
#include "mr_setting.h"
#include "perisclera/dicom/image_object.h"
#include "scenario.h"

namespace perisclera::phantoms {

/// At 1.5 T. Precondition: no CT. Times and angles: common practice, no source.
MrSetting usual_mr_setting(Kind kind);

/// PS3.3 C.8.3.1.
MrAcquisition mr_acquisition(const MrSetting& setting, double slice_thickness_mm);

}  // namespace perisclera::phantoms
