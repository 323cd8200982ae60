// SPDX-License-Identifier: Apache-2.0
#pragma once
// Where the ends of an encircling band or tire meet, on CT. Ends that lie on each other make it twice as thick for some millimetres, and no wider; a
// clip is metal on it. A sleeve makes it thicker too, but by how much is not known: what is raised otherwise is told by its place alone.
#include <optional>

#include "perisclera/core/clock_position.h"
#include "perisclera/measurement/element_measurements.h"
#include "perisclera/measurement/wall_profile.h"

namespace perisclera {

enum class JunctionSign { unknown, not_seen, overlap, clip };

struct RingJunction {
    JunctionSign sign = JunctionSign::unknown;
    std::optional<ClockPosition> clock_hour{};  ///< where the ring is raised or held
};

/// Of a ring of solid silicone that was measured by the layers of `profiler`'s CT (element_layers.h); anything else has an unknown one.
/// `not_seen` where ends that lie on each other along 5 mm would have shown wherever they are, at 95 %.
RingJunction ring_junction(const WallProfiler& profiler, const PolarBlock& block, const FoundElement& element, const ElementMeasurements& measured);

}  // namespace perisclera
