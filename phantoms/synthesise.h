// SPDX-License-Identifier: Apache-2.0
#pragma once
// A scenario as DICOM series and truth.json: <study date>/<series number>/<image>, one folder per visit and series.
// Every object is marked as simulated. The same scenario gives the same bytes, whatever the number of threads.
#include <functional>

#include "perisclera/core/result.h"
#include "perisclera/dicom/output_folder.h"
#include "scenario.h"

namespace perisclera::phantoms {

/// Told after each series: how many are done, of how many.
using Progress = std::function<void(int done, int total)>;

/// Writes into `out`; the caller commits it. Errors: output_failed, bad_scenario (a grid that cannot be).
Result<Done> synthesise(const Scenario& scenario, OutputFolder& out, const Progress& progress, unsigned threads = 1);

}  // namespace perisclera::phantoms
