// SPDX-License-Identifier: Apache-2.0
#pragma once
// A ball that may be a globe in which one fluid floats on another: two even parts, one above the other along the patient's front-to-back axis, and one
// round wall about both. Oil and gas float in front of a supine patient's vitreous; blood and heavy liquid sink to its back.
#include <functional>
#include <optional>

#include "perisclera/anatomy/globe_finder.h"

namespace perisclera {

/// `value`: the signal at a point, HU or MR, clipped to what soft tissue shows. `departure`: from how far off on a signal is no longer the same fluid's.
/// Nothing where there are no two parts, or no round wall. GlobeCandidate::interior_mean is that of the larger part.
std::optional<GlobeCandidate> test_layered_ball(const std::function<double(PatientPoint)>& value, const std::function<bool(PatientPoint)>& imaged, PatientPoint start,
                                                double departure);

}  // namespace perisclera
