// SPDX-License-Identifier: Apache-2.0
#pragma once
// The size of an element on CT by the profiles across the wall. One that is of one make all along (solid silicone is moulded, a sponge extruded; common practice, no
// source) is told by all of them together: what muscle, lid, bone or a slice cut along the wall do to single profiles does not count.
#include "perisclera/measurement/wall_profile.h"

namespace perisclera {

/// Profiles at each half hour of the clock within the element, or at its middle; `profiler`: of the series it was measured on, CT. `kvp`: tube voltage.
/// Contrast times thickness of each section, and of the largest the middle of all where the element is of one make.
/// Of such an element, where at least half of the profiles tell, the thickness that all allow under one CT number, and area and volume with it: of solid silicone as a
/// rectangle of one width and thickness along the element, of a sponge in the shape that its shares have. An element thinner than the blur trades thickness for CT
/// number: there, and only there, it matters that it is taken for what its appearance says, solid silicone or sponge, with the published spread of their CT numbers.
/// Everything else of `measured` stays.
ElementMeasurements measured_by_layers(const WallProfiler& profiler, const PolarBlock& block, const FoundElement& element, ElementMeasurements measured, double kvp);

}  // namespace perisclera
