// SPDX-License-Identifier: Apache-2.0
#pragma once
// What other programs take of the elements found: of each, on the own grid of each series it is known on, the share of every voxel and the mask that is filed as
// segmentation, as NIfTI; and its surface as PLY, from the series it was measured on. docs/masks.md says what they hold.
#include <vector>

#include "perisclera/report/render_report.h"

namespace perisclera::masks {

/// Files in memory; whoever calls writes them, all or none. Paths are "masks/<visit>/<element>-<series>-<kind>", with nothing of the patient in them, nor is there in the
/// files. Same model, same bytes.
std::vector<report::OutputFile> render_masks(const report::ReportModel& model);

}  // namespace perisclera::masks
