// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which role a series plays, from what was done physically: sequence, repetition, echo and inversion time, flip angle, fat
// suppression, contrast, kernel. Free text decides only where physics leaves it open, and is never quoted. What stays open is `unknown`.
// Sources: PS3.3 C.8.3.1 (terms); usual spin-echo limits T1: TR < 500-1500 and TE < 30, PD: TR > 1500 and TE < 30,
// T2: TR > 1500 and TE > 90 ms (common teaching, here widened for fast spin echo: 40 and 70 ms); Ernst angle for gradient echoes.
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

struct RoleOpinion {
    SeriesRole role;
    std::string why;                    ///< in words, quoting no free text
    bool simulated = false;             ///< the series says so itself
    std::vector<std::string> problems;  ///< cautions, in words
};

RoleOpinion series_role(Modality modality, const AcquisitionTags& tags);

/// Is a series of this role read and measured?
bool is_measured(SeriesRole role);

}  // namespace perisclera
