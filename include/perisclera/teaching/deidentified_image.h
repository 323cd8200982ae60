// SPDX-License-Identifier: Apache-2.0
#pragma once
// One slice of a used series as a teaching image: written anew, attribute by attribute (kept_attributes.h), with the pixels of the orbits' region alone. Marked as PS3.15 annex E asks for.
#include <map>
#include <string>

#include "perisclera/teaching/case_series.h"
#include "perisclera/teaching/orbit_region.h"
#include "perisclera/teaching/replacements.h"

namespace perisclera::teaching {

/// What became of one attribute over all images; no values.
struct AttributeFate {
    std::string name;                ///< of the data dictionary; empty where it has none
    std::string done;                ///< "kept", "emptied", "replaced", "removed", "added"
    std::string standard;            ///< the standard's action, as "X/Z"; empty where its table does not list the attribute
    std::string why;
    int files = 0;
};

/// By tag, "0010,0010"; those within a sequence "0008,1140>0008,1155".
using AttributeFates = std::map<std::string, AttributeFate>;

/// Largest share of the face's surface that may be kept for the images to be marked as showing no recognizable feature. Common practice, no source.
inline constexpr double recognizable_share = 0.02;

struct ImagePlace {
    int series_number;      ///< of the case, from 1
    int slice;              ///< of the region's block, from 0
    bool recognizable;      ///< more of the face is kept than recognizable_share in some series of the case
    bool drop_overlays;     ///< overlays and curves are left behind; otherwise such an image is refused
};

/// The image as a DICOM file. Errors: unsupported_encoding (a frame of an object of many), bad_value (the image says that text is burned into it, or that it is a picture of a
/// screen or a film; it has overlays or curves, which may be writing), and those of reading it.
Result<std::string> deidentified_image(const CaseSeries& series, const OrbitRegion& region, const ImagePlace& place, Replacements& replacements, AttributeFates& fates);

}  // namespace perisclera::teaching
