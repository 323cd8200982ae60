// SPDX-License-Identifier: Apache-2.0
#include "perisclera/core/error.h"

#include "perisclera/core/printable.h"

namespace perisclera {

namespace {

struct Entry {
    std::string_view name;
    int status;
};

Entry entry(ErrorCode code) {
    switch (code) {
        case ErrorCode::usage: return {"USAGE", 2};
        case ErrorCode::output_not_empty: return {"OUTPUT_NOT_EMPTY", 2};
        case ErrorCode::output_inside_input: return {"OUTPUT_INSIDE_INPUT", 2};
        case ErrorCode::bad_scenario: return {"BAD_SCENARIO", 2};
        case ErrorCode::no_images: return {"NO_IMAGES", 3};
        case ErrorCode::not_dicom: return {"NOT_DICOM", 3};
        case ErrorCode::not_a_file: return {"NOT_A_FILE", 3};
        case ErrorCode::cannot_read: return {"CANNOT_READ", 3};
        case ErrorCode::changed_while_reading: return {"CHANGED_WHILE_READING", 3};
        case ErrorCode::truncated: return {"TRUNCATED", 3};
        case ErrorCode::pixels_short: return {"PIXELS_SHORT", 3};
        case ErrorCode::length_beyond_file: return {"LENGTH_BEYOND_FILE", 3};
        case ErrorCode::trailing_bytes: return {"TRAILING_BYTES", 3};
        case ErrorCode::inflates_too_large: return {"INFLATES_TOO_LARGE", 3};
        case ErrorCode::nested_too_deep: return {"NESTED_TOO_DEEP", 3};
        case ErrorCode::too_many_elements: return {"TOO_MANY_ELEMENTS", 3};
        case ErrorCode::bad_sequence: return {"BAD_SEQUENCE", 3};
        case ErrorCode::bad_value: return {"BAD_VALUE", 3};
        case ErrorCode::conflicting_values: return {"CONFLICTING_VALUES", 3};
        case ErrorCode::bad_size: return {"BAD_SIZE", 3};
        case ErrorCode::bad_pixel_format: return {"BAD_PIXEL_FORMAT", 3};
        case ErrorCode::bad_spacing: return {"BAD_SPACING", 3};
        case ErrorCode::bad_orientation: return {"BAD_ORIENTATION", 3};
        case ErrorCode::bad_position: return {"BAD_POSITION", 3};
        case ErrorCode::bad_uid: return {"BAD_UID", 3};
        case ErrorCode::gap_in_stack: return {"GAP_IN_STACK", 3};
        case ErrorCode::overlapping_slices: return {"OVERLAPPING_SLICES", 3};
        case ErrorCode::same_uid_different_image: return {"SAME_UID_DIFFERENT_IMAGE", 3};
        case ErrorCode::uneven_spacing: return {"UNEVEN_SPACING", 3};
        case ErrorCode::too_few_slices: return {"TOO_FEW_SLICES", 3};
        case ErrorCode::too_coarse: return {"TOO_COARSE", 3};
        case ErrorCode::no_hounsfield: return {"NO_HOUNSFIELD", 3};
        case ErrorCode::mixed_patients: return {"MIXED_PATIENTS", 3};
        case ErrorCode::not_same_patient: return {"NOT_SAME_PATIENT", 3};
        case ErrorCode::mixed_frame: return {"MIXED_FRAME", 3};
        case ErrorCode::no_date: return {"NO_DATE", 3};
        case ErrorCode::unsupported_encoding: return {"UNSUPPORTED_ENCODING", 3};
        case ErrorCode::decode_failed: return {"DECODE_FAILED", 3};
        case ErrorCode::lossy_compression: return {"LOSSY_COMPRESSION", 0};
        case ErrorCode::joined_patients: return {"JOINED_PATIENTS", 0};
        case ErrorCode::one_check_only: return {"ONE_CHECK_ONLY", 0};
        case ErrorCode::suspicious_preamble: return {"SUSPICIOUS_PREAMBLE", 0};
        case ErrorCode::out_of_order: return {"OUT_OF_ORDER", 0};
        case ErrorCode::eye_conflict: return {"EYE_CONFLICT", 3};
        case ErrorCode::no_globe: return {"NO_GLOBE", 4};
        case ErrorCode::incomplete: return {"INCOMPLETE", 4};
        case ErrorCode::cannot_compare: return {"CANNOT_COMPARE", 4};
        case ErrorCode::alignment_refused: return {"ALIGNMENT_REFUSED", 4};
        case ErrorCode::output_failed: return {"OUTPUT_FAILED", 5};
        case ErrorCode::limit_reached: return {"LIMIT_REACHED", 6};
        case ErrorCode::interrupted: return {"INTERRUPTED", 130};
        case ErrorCode::internal_fault: return {"INTERNAL_FAULT", 70};
    }
    return {"INTERNAL_FAULT", 70};
}

}  // namespace

std::string_view name(ErrorCode code) { return entry(code).name; }

int exit_status(ErrorCode code) { return entry(code).status; }

std::string one_line(const Error& error) {
    return "error[" + std::string(name(error.code)) + "] " + printable(error.what) + ": " + printable(error.where) + ": " + printable(error.hint);
}

}  // namespace perisclera
