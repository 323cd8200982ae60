// SPDX-License-Identifier: Apache-2.0
#pragma once
// Enhanced multi-frame CT and MR images, taken apart into slices like those of classic series.
#include <optional>
#include <string_view>

#include "dataset.h"
#include "parse_file.h"

namespace perisclera {

/// The modality of an enhanced image's SOP class, legacy converted ones included.
std::optional<Modality> enhanced_modality(std::string_view sop_class_uid);

/// `start` holds layout, modality, SOP class and series UID. One slice for each frame but localizers; a frame that cannot be used refuses the whole file,
/// since what is left would be a stack with a hole.
ParsedFile read_enhanced_image(const Dataset& data, InputFile& file, const SliceHeader& start);

}  // namespace perisclera
