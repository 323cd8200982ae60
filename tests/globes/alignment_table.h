// SPDX-License-Identifier: Apache-2.0
#pragma once
// docs/alignment.md from the rows of a sweep.
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "eye_mapping.h"
#include "globe_table.h"
#include "strata.h"

namespace perisclera::globes {

/// One pair of series.
struct PairRow {
    int number;
    std::vector<Stratum> strata;
    double turned_deg;   ///< the eye farther turned from the first series to the second, head and gaze together
    struct Way {
        std::vector<std::optional<MappingError>> eyes;   ///< of the eyes with a globe; nothing where this way gives no mapping
        double seconds = 0.0;                            ///< of the processor
    } own, together, together_of_true_globes, itk;   ///< the third: only eyes whose globes are the true ones in both series
    std::vector<double> residual_mm{};     ///< between both scleral surfaces, of the eyes brought together
    std::vector<std::string> refusals{};   ///< in words, of the eyes that were not
};

/// As the running table shows it.
std::string row_of(const PairRow& row);

std::string alignment_document(const std::vector<PairRow>& rows, const SweepExtent& extent);

}  // namespace perisclera::globes
