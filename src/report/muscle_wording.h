// SPDX-License-Identifier: Apache-2.0
#pragma once
// One rectus muscle in words, for page and PDF.
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

struct MuscleWords {
    std::string muscle;      ///< "medial rectus"
    std::string thickness;   ///< with the published range
    std::string course;      ///< continuity
    std::string insertion;
    std::string elements;    ///< relation to each
};
MuscleWords words_of(const MuscleEntry& muscle);

}  // namespace perisclera::report
