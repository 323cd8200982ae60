// SPDX-License-Identifier: Apache-2.0
#pragma once
// Is this file safe to hand to a DICOM library? An iterative scan of the element headers (PS3.5 chapter 7, PS3.10) that
// holds every length against the file's end and caps nesting, element count and value size, since parsers recurse on nesting
// and allocate what a length field claims. Nothing is stored but where the pixels lie.
#include <cstdint>
#include <filesystem>
#include <string>

#include "perisclera/core/result.h"

namespace perisclera {

enum class Encoding { implicit_little, explicit_little, explicit_big, encapsulated };

struct FileLayout {
    std::string transfer_syntax_uid;
    std::string media_class_uid, media_instance_uid;  ///< what the file's meta group says that it holds; may be empty
    Encoding encoding = Encoding::explicit_little;
    bool suspicious_preamble = false;             ///< the free first 128 bytes begin like a program, a script or an archive
    bool stated_twice = false;                    ///< an attribute that does not matter here is stated twice with different values
    bool wrong_length = false;                    ///< the meta group is not as long as it says, or a delimiter has a length
    bool out_of_order = false;                    ///< attributes do not stand in rising order, or one stands twice with one value
    bool zero_padded = false;                     ///< nothing but zeros follows the pixels, as some media writers leave it
    bool directory = false;                       ///< a DICOMDIR
    bool directory_sound = false;                 ///< its content passed the scan; one that does not is no error, since its folder is searched anyway
    std::uint64_t file_bytes = 0;
    std::uint64_t dataset_offset = 0;             ///< first byte after the meta group
    bool deflated = false;                        ///< all offsets are those of the file with its data set inflated in its place
    std::uint64_t header_bytes = 0;               ///< everything before the pixels
    bool has_pixels = false;
    std::uint64_t pixel_offset = 0;  ///< first byte of the pixel value
    std::uint64_t pixel_bytes = 0;   ///< as declared; may pass the file's end when the pixels are not encapsulated
};

/// `where` ("file 3 of 20") goes into the errors: not_dicom, cannot_read, truncated, length_beyond_file,
/// nested_too_deep, too_many_elements, bad_sequence, bad_value, conflicting_values, trailing_bytes, unsupported_encoding, limit_reached, and those of inflating a deflated data set.
Result<FileLayout> preflight(const std::filesystem::path& path, const std::string& where);

}  // namespace perisclera
