// SPDX-License-Identifier: Apache-2.0
#pragma once
// A synthesised visit as the program reads and sees it.
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/anatomy/globe.h"
#include "perisclera/assemble/image_series.h"
#include "phantoms/scenario.h"
#include "tests/bank/bank.h"

namespace perisclera::globes {

/// The first visit of a scenario, and each of its series as read from its images; nothing where it was not read or is not measured.
struct ReadVisit {
    phantoms::Timepoint truth;
    std::vector<std::optional<ImageSeries>> series;   ///< in the scenario's order
};
/// Errors: as bank::Bank::images_of and read_patient.
Result<ReadVisit> read_visit(const bank::Bank& bank, const std::string& scenario);

/// The globes of one series as the program takes them: a pair, or else a lone globe; right, left.
std::array<std::optional<Globe>, 2> globes_in(const ImageSeries& series);

}  // namespace perisclera::globes
