// SPDX-License-Identifier: Apache-2.0
#pragma once
// Ellipsoids along the axes of a face of usual breadth, of which skin, sinuses and skull are made. mm.
#include <cmath>

#include "head_box.h"

namespace perisclera::phantoms {

struct Ellipsoid {
    double middle_m, middle_y, middle_z;  ///< m is the distance from the midline
    double a, b, c;                       ///< half its axes

    /// 1 on the surface, less within.
    [[nodiscard]] double at(double m, double y, double z) const {
        const double dx = m - middle_m, dy = y - middle_y, dz = z - middle_z;
        return std::sqrt(dx * dx / (a * a) + dy * dy / (b * b) + dz * dz / (c * c));
    }
    [[nodiscard]] Range within(const HeadBox& face) const {
        return length((face.x - middle_m) * (1.0 / a), (face.y - middle_y) * (1.0 / b), (face.z - middle_z) * (1.0 / c));
    }
};

}  // namespace perisclera::phantoms
