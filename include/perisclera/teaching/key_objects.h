// SPDX-License-Identifier: Apache-2.0
#pragma once
// For each study of a teaching file a Key Object Selection "For Teaching File Export" (PS3.16 CID 7014, TID 2010), so that an archive or a teaching system knows what
// belongs to it. It names every image of the study in the order of the slices, chosen by nothing that was found: who reads the question may read it.
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/report/render_report.h"

namespace perisclera::teaching {

/// `deidentified`: the teaching file's own images, as read. Dates are those of the images. Error: internal_fault.
Result<std::vector<report::OutputFile>> key_object_selections(const PatientStudies& deidentified);

}  // namespace perisclera::teaching
