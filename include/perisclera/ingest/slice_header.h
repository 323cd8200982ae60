// SPDX-License-Identifier: Apache-2.0
#pragma once
// What one CT or MR image, or one frame of an enhanced one, says of itself, strictly parsed: once a SliceHeader exists, its geometry, its pixel
// format and, for CT, its Hounsfield scale have been checked. Source: PS3.3 C.7.6.2, C.7.6.3, C.7.6.16, C.8.2.1, C.8.3.1, C.8.13, C.8.15.
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/frames.h"
#include "perisclera/core/modality.h"
#include "perisclera/core/stated_plane.h"
#include "perisclera/core/study_filing.h"
#include "perisclera/ingest/file_stamp.h"
#include "perisclera/ingest/patient_identity.h"
#include "perisclera/ingest/preflight.h"

namespace perisclera {

struct SliceGeometry {
    PatientPoint position{0, 0, 0};  ///< centre of the first pixel, LPS mm
    PatientVector row{1, 0, 0};      ///< unit direction of increasing column index
    PatientVector column{0, 1, 0};   ///< unit direction of increasing row index
    double column_spacing_mm = 0.0;  ///< between neighbours along a row
    double row_spacing_mm = 0.0;     ///< between neighbours down a column
    int rows = 0, columns = 0;
};

struct PixelFormat {
    int bits_allocated = 16, bits_stored = 16, high_bit = 15;
    bool is_signed = false;
    double rescale_slope = 1.0, rescale_intercept = 0.0;
    std::optional<long> padding_value;        ///< stored value of pixels outside the reconstruction
    std::optional<long> padding_range_limit;  ///< other end of a range of such values
};

/// Tags from which the series' role follows. Numbers that are absent or malformed are not there.
struct AcquisitionTags {
    std::vector<std::string> image_type;
    std::vector<std::string> scanning_sequence, sequence_variant, scan_options;
    std::string acquisition_type;  ///< "2D", "3D"
    std::string sequence_name;
    std::string acquisition_contrast;  ///< enhanced MR: "T1", "FLUID_ATTENUATED", ...
    std::string stack_id;              ///< enhanced: which stack of the object
    std::string spectral_suppression;  ///< SpectrallySelectedSuppression
    std::string spectral_excitation;   ///< SpectrallySelectedExcitation
    bool angiographic = false;         ///< AngioFlag
    bool several_inversions = false;   ///< more than one inversion time
    std::string contrast_agent;
    std::string series_description, protocol_name, derivation;  ///< free text: for roles only, never printed
    std::string kernel, kernel_group;
    std::string patient_position, laterality;
    std::optional<double> repetition_time_ms, echo_time_ms, inversion_time_ms, flip_angle_deg, field_strength_tesla, kvp;
    std::optional<double> b_value;  ///< diffusion weighting, s/mm2
    std::optional<double> slice_thickness_mm;
    std::optional<double> stated_slice_distance_mm;  ///< Spacing Between Slices; positions alone count, this may contradict them
    std::optional<double> trigger_time_ms;
    std::optional<long> echo_train_length, echo_number, acquisition_number, temporal_position, instance_number;
};

struct SliceHeader {
    std::filesystem::path path;
    std::optional<std::uint64_t> archive_member;  ///< which one, when the path is an archive
    FileStamp stamp;            ///< of the file, or of the archive, when its header was read
    int frame = 0, frames = 1;  ///< counted from 0, of those in the file
    std::string where;          ///< "file 3 of 20", for messages
    FileLayout layout;
    Modality modality = Modality::ct;
    std::string sop_class_uid, sop_instance_uid, series_uid, study_uid, frame_of_reference_uid;
    PatientIdentity patient;
    StudyFiling filing;
    std::string study_date;  ///< DA as written
    SliceGeometry geometry;
    StatedPlane plane;       ///< what the geometry was read from
    PixelFormat pixels;
    AcquisitionTags acquisition;
    bool lossy = false;                 ///< was compressed with loss at some time
    std::optional<double> lossy_ratio;  ///< as stated
};

/// By SOP instance UID; where that is shared, by place among the inputs.
bool by_identifier(const SliceHeader& a, const SliceHeader& b);

}  // namespace perisclera
