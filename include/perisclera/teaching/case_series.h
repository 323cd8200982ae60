// SPDX-License-Identifier: Apache-2.0
#pragma once
// The images of a result, known again by series UID and digest.
#include <cstddef>
#include <vector>

#include "perisclera/assemble/catalogue.h"
#include "perisclera/teaching/finished_result.h"

namespace perisclera::teaching {

/// One used series; refers to both that it was found in.
struct CaseSeries {
    const ImageSeries& images;
    const SliceStack& stack;     ///< slice by slice as images' volume
    std::size_t visit;           ///< counted from 0
};

/// Errors: no_images (a used series is not among the inputs), conflicting_values (it is, with other content, or of other dates).
Result<std::vector<CaseSeries>> match_images(const FinishedResult& result, const PatientCatalogue& catalogue, const PatientStudies& patient);

}  // namespace perisclera::teaching
