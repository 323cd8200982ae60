// SPDX-License-Identifier: Apache-2.0
#pragma once
// Reads, on every series of the eye, what the element shows there.
#include "perisclera/material/material_opinion.h"
#include "perisclera/measurement/element_measurements.h"
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

/// Signals are taken from the element's core at the same place of the eye's frame; a series on which the element is too
/// thin to show its own signal, or which does not reach it, gives no reading. MR is read relative to the vitreous, `vitreous`: its signal on each of the views; a series on which
/// no eye is known to hold any gives no reading.
std::vector<Reading> read_element(const std::vector<const EyeView*>& views, const std::vector<std::optional<double>>& vitreous, const EyeElement& element, const ElementMeasurements& measured);

}  // namespace perisclera
