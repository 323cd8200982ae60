// SPDX-License-Identifier: Apache-2.0
#pragma once
// The pictures of an eye: planes through the eye's axis, resampled from the series, with the element's outline.
#include "perisclera/report/key_image.h"
#include "visit_analysis.h"

namespace perisclera {

/// The plane through the eye's axis at the element's largest section, on every series of the eye that shows it (the one it
/// was measured on first, three at most).
std::vector<report::KeyImage> element_images(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const AnalysedElement& element, const std::string& id,
                                             const std::string& timepoint);

/// The plane through both the eye's axis and its horizontal, on each CT, T1 and T2 (three at most): what was looked at where nothing was found.
std::vector<report::KeyImage> overview_images(const AnalysedVisit& analysed, const Visit& visit, Eye eye, const std::string& timepoint);

}  // namespace perisclera
