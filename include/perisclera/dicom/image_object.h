// SPDX-License-Identifier: Apache-2.0
#pragma once
// Classic CT and MR Image Storage objects (PS3.3 A.3 and A.4), one per slice, as bytes of a DICOM file.
// Every image is DERIVED\PRIMARY and carries a derivation description. CT is stored in 12 bits with intercept -1024 and
// clips at -1024 and 3071 HU; MR in 12 bits from 0.
#include <optional>
#include <string>

#include "perisclera/core/result.h"
#include "perisclera/image/voxel_grid.h"

namespace perisclera {

/// What every image of a series says. Texts are UTF-8; dates YYYYMMDD, times HHMMSS; empty where not known.
struct ImageSeriesHeader {
    std::string patient_name, patient_id, patient_birth_date, patient_sex;
    std::string study_uid, study_date, study_time, study_id, study_description;
    std::string series_uid, series_time, series_description, frame_of_reference_uid;
    int series_number = 1;
    std::string manufacturer, model, software_version;
    std::string derivation_description;
};

struct CtAcquisition {
    double kvp;
    std::string kernel;
    double slice_thickness_mm;
    double gantry_tilt_deg = 0.0;  ///< nominal, stated where not zero; the geometry follows from the volume alone
    bool extended_scale = false;   ///< for metal: -10240 to 30710 HU in steps of 10 instead of -1024 to 3071 in steps of 1
};

struct MrAcquisition {
    std::string scanning_sequence;  ///< SE, GR, IR, or several of them, parted by a backslash
    std::string sequence_variant;   ///< SK, SP, MP, NONE, likewise
    std::string scan_options;       ///< FS where fat is suppressed, or empty
    double repetition_time_ms, echo_time_ms;
    std::optional<double> inversion_time_ms;
    double flip_angle_deg, field_strength_tesla;
    int echo_train_length;
    bool three_dimensional;
    double slice_thickness_mm;
    std::string contrast_agent = {};                   ///< empty: none given
    std::optional<double> pixel_bandwidth_hz = {};     ///< not stated where not known
    std::optional<bool> phase_along_row = {};          ///< likewise; otherwise along the column
};

/// Slice `slice` (0 the first) of the volume. The SOP instance UID follows from series UID and slice. Error: internal_fault.
Result<std::string> ct_image_bytes(const ImageSeriesHeader& header, const CtAcquisition& acquisition, const CtVolume& volume, int slice);
Result<std::string> mr_image_bytes(const ImageSeriesHeader& header, const MrAcquisition& acquisition, const MrVolume& volume, int slice);

}  // namespace perisclera
