// SPDX-License-Identifier: Apache-2.0
#pragma once
// A ball with a dent under a dense body, its fitted surface that of the ball. Contrasts: common practice, no source; wall 0.82 mm, see wall_at_equator_mm.
#include <cmath>

#include "perisclera/alignment/eye_views.h"
#include "tests/support/drawn_eye.h"

namespace perisclera::test {

struct DentedEye {
    static constexpr double radius = 12.2, dent_mm = 1.2, dent_radians = 0.5, reaches_mm = 4.0;

    /// Dented towards three o'clock at the equator, where a body as dense as `body_hu` lies in the dent.
    static EyeView seen(Modality modality, double body_hu) {
        Globe globe = ball_globe(Eye::right, {0, 0, 0}, radius);
        globe.interior_mean = 8.0;
        const EyeFrame frame = globe.frame;
        const PolarBlock block(drawn_grid({0, 0, 0}, {90, 90, 60}, {0.5, 0.5, 0.8}, [&](PatientPoint p) {
            const EyePoint e = frame.to_eye(p);
            const double r = std::hypot(e.x, e.y, e.z);
            const bool in_dent = std::acos(e.x / std::max(r, 1e-6)) < dent_radians;
            const double face = radius - (in_dent ? dent_mm : 0.0);
            if (r < face - wall_at_equator_mm) return 8.0;
            if (r < face) return 45.0;
            return in_dent && r < radius + reaches_mm ? body_hu : -95.0;
        }), globe);
        return {0, modality, modality == Modality::ct ? SeriesRole::ct_soft : SeriesRole::t2, 120.0, block};
    }
};

}  // namespace perisclera::test
