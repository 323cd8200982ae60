// SPDX-License-Identifier: Apache-2.0
#pragma once
// A ball that may be a globe in which one fluid floats on another: two even parts on either side of a plane across gravity, and one round wall about both.
#include <functional>
#include <optional>

#include "perisclera/anatomy/globe_finder.h"

namespace perisclera {

/// `value`: the signal at a point, HU or MR, clipped to what soft tissue shows. `departure`: from how far off on a signal is no longer the same fluid's.
/// `down`: unit vector; its sign does not matter. Nothing where there are no two parts, or no round wall. GlobeCandidate::interior_mean is that of the larger part.
std::optional<GlobeCandidate> test_layered_ball(const std::function<double(PatientPoint)>& value, const std::function<bool(PatientPoint)>& imaged, PatientPoint start,
                                                PatientVector down, double departure);

}  // namespace perisclera
