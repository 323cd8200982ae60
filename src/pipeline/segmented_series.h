// SPDX-License-Identifier: Apache-2.0
#pragma once
// Elements and globes of a visit as voxels of each of its series.
//
// An element measured on one series is brought to another through the eye's frame, which both share; a series kept apart takes no part but in what was
// measured on itself. Every voxel gets the share of it that lies within the element, the mean over points at most half a millimetre apart; of those
// that hold any, the fullest are taken, as many as come nearest to the measured volume. So a band thinner than a voxel, which nowhere fills half of one,
// keeps its place and its volume; the threshold that this amounts to is the series' own. Of a thin band all round, which is measured as one section, each
// half hour of the clock gets its part. Where no volume is measured, a voxel counts from half the element's own level on. A globe's voxel counts where at
// least half of it lies within the fitted outer surface.
#include <array>
#include <string>
#include <vector>

#include "perisclera/report/segmented_series.h"
#include "visit_analysis.h"

namespace perisclera {

/// `asked_for`, `names`: of the right and the left eye; names one for each element. Series in the visit's order; one that shows no eye asked for has no segments.
std::vector<report::SegmentedSeries> segmented_series(const AnalysedVisit& analysed, const Visit& visit, std::array<bool, 2> asked_for,
                                                      const std::array<std::vector<std::string>, 2>& names, const std::string& timepoint);

}  // namespace perisclera
