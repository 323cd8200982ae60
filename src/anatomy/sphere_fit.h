// SPDX-License-Identifier: Apache-2.0
#pragma once
// A sphere through points, by least squares. Patient frame, mm.
#include <vector>

#include "perisclera/core/frames.h"

namespace perisclera {

struct Ball {
    PatientPoint centre;
    double radius;
};

/// Least squares sphere through weighted points (linear form); falls back to the start when it is degenerate.
Ball fit_sphere(const std::vector<PatientPoint>& points, const std::vector<double>& weights, const Ball& start);

}  // namespace perisclera
