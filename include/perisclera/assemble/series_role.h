// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which role a series plays, from what was done physically: sequence, repetition, echo and inversion time, flip angle, fat
// suppression, contrast, kernel. Free text decides only where physics leaves it open, and is never quoted. What stays open is `unknown`.
// Source of terms: PS3.3 C.7.6.1, C.8.2.1, C.8.3.1, C.8.13.3, C.8.15; docs/role_table.md shows what series get which role.
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

struct RoleOpinion {
    SeriesRole role;
    Confidence confidence;
    std::string why;                    ///< in words, quoting no free text
    bool simulated = false;             ///< the series says so itself
    std::vector<std::string> problems;  ///< cautions, in words
};

RoleOpinion series_role(Modality modality, const AcquisitionTags& tags);

/// Is a series of this role read and measured?
bool is_measured(SeriesRole role);

/// May the images tell what the header does not: MR of unknown role whose repetition or echo time is not stated. What is unknown
/// although both are stated (echo-planar, angiography, prepared sequences) looks like other things than it is.
bool is_silent(const SeriesDescription& series);

}  // namespace perisclera
