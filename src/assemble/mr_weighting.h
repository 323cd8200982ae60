// SPDX-License-Identifier: Apache-2.0
#pragma once
// What an MR series is weighted by, from its physics; its name only where physics leaves it open.
// Sources: PS3.3 C.8.3.1 and C.8.13.3.1 (terms); spin echo T1 TR 300-800 and TE up to 30, long TR 2000, long TE 70; STIR TI 100-210, FLAIR TE 80
// upwards, TR 4000 upwards, balanced gradient echo flip angle above 35, angiography TR 25-50 and flip angle 20-60 (Westbrook and Talbot, MRI in Practice,
// 5th ed. 2019, table of parameters for 1.5 and 3 T); Ernst angle for spoiled gradient echoes. Limits are widened to what is met at 1.5 and 3 T.
#include <string>

#include "perisclera/assemble/image_series.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

struct Weighting {
    SeriesRole role;  ///< t1, t2, pd, stir, flair, dwi, gre, other or unknown: before fat suppression and contrast agent
    std::string why;
    Confidence confidence = Confidence::high;
};

/// By scan options, selective pulses or kind of image; names are not asked.
bool fat_suppressed_by_tags(const AcquisitionTags& tags);

Weighting mr_weighting(const AcquisitionTags& tags);

}  // namespace perisclera
