// SPDX-License-Identifier: Apache-2.0
#pragma once
// From the catalogue to the volumes of one patient.
#include <filesystem>
#include <functional>
#include <optional>
#include <vector>

#include "perisclera/assemble/catalogue.h"

namespace perisclera {

struct LoadOptions {
    std::optional<int> patient;   ///< the number the survey gives; needed when there are several
    int threads = 1;              ///< does not change the result
    std::function<void(int done, int total)> progress;  ///< called after each series with slices read; may be empty
    bool same_patient = false;    ///< all patients of the catalogue are one person, as the user says
};

/// Reads the usable series. A series that fails is described in Visit::unused and told in the warnings while others go on.
/// Errors: mixed_patients (several and none chosen), not_same_patient (joined, but birth dates or sexes contradict), usage (no such patient), and when no series remains the reason of the first.
Result<PatientStudies> load_patient(const PatientCatalogue& catalogue, const LoadOptions& options);

/// scan_inputs, catalogue and load_patient in one.
Result<PatientStudies> read_patient(std::vector<std::filesystem::path> inputs, const LoadOptions& options);

}  // namespace perisclera
