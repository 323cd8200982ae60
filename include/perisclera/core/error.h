// SPDX-License-Identifier: Apache-2.0
#pragma once
// The one closed list of what can go wrong, each with the exit status it leads to (0, 2..6, 70 as documented in
// the README). Warnings are the same type, carried in results.
#include <string>
#include <string_view>

namespace perisclera {

enum class ErrorCode {
    usage,               // 2: unknown option or value
    output_not_empty,    // 2: output folder exists and is not empty
    output_inside_input, // 2
    bad_scenario,        // 2: scenario file: unknown key, wrong value
    no_images,           // 3: nothing to read
    not_dicom,
    not_a_file,
    cannot_read,
    changed_while_reading,
    truncated,
    pixels_short,
    length_beyond_file,
    trailing_bytes,
    inflates_too_large,
    nested_too_deep,
    too_many_elements,
    bad_sequence,
    bad_value,
    conflicting_values,
    bad_size,
    bad_pixel_format,
    bad_spacing,
    bad_orientation,
    bad_position,
    bad_uid,
    gap_in_stack,
    overlapping_slices,
    same_uid_different_image,
    uneven_spacing,
    too_few_slices,
    too_coarse,          // slices too thick or too far apart for an eye
    no_hounsfield,
    mixed_patients,
    not_same_patient,
    mixed_frame,
    no_date,
    unsupported_encoding,
    decode_failed,
    lossy_compression,   // warning only
    joined_patients,     // warning only: taken for one person at the user's word
    one_check_only,      // warning only: the patient number alone says that studies are of one person
    suspicious_preamble, // warning only
    out_of_order,        // warning only: attributes out of order or repeated
    eye_conflict,
    no_globe,            // 4
    incomplete,          // 4: something asked for is missing, report written
    cannot_compare,      // 4: fewer than two comparable dates
    alignment_refused,   // 4: the eye could not be brought from one series to another
    output_failed,       // 5
    limit_reached,       // 6
    interrupted,         // 130/143, set by app
    internal_fault,      // 70
};

/// The code as printed: upper case with underscores, e.g. GAP_IN_STACK.
std::string_view name(ErrorCode code);
/// Exit status for a run ended by this error.
int exit_status(ErrorCode code);

/// One problem. `where` is a file number, a series number or a stage, never patient text; `hint` says what to do.
struct Error {
    ErrorCode code;
    std::string what;
    std::string where;
    std::string hint;
};

/// "error[CODE] what: where: what to do" without a line end; control characters escaped.
std::string one_line(const Error& error);

}  // namespace perisclera
