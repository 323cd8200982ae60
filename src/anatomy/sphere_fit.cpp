// SPDX-License-Identifier: Apache-2.0
#include "sphere_fit.h"

#include <array>
#include <cmath>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

namespace perisclera {

Ball fit_sphere(const std::vector<PatientPoint>& points, const std::vector<double>& weights, const Ball& start) {
    vnl_matrix<double> normal(4, 4, 0.0);
    vnl_vector<double> right(4, 0.0);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const PatientVector d = points[i] - start.centre;
        const std::array<double, 4> a{2.0 * d.x, 2.0 * d.y, 2.0 * d.z, 1.0};
        for (unsigned r = 0; r < 4; ++r) {
            right[r] += weights[i] * a[r] * dot(d, d);
            for (unsigned c = 0; c < 4; ++c) normal(r, c) += weights[i] * a[r] * a[c];
        }
    }
    for (unsigned r = 0; r < 3; ++r) normal(r, r) += 1e-3;  // a hemisphere alone must not send the centre away
    const vnl_cholesky solver(normal, vnl_cholesky::quiet);
    if (solver.rank_deficiency() != 0) return start;
    const vnl_vector<double> s = solver.solve(right);
    const double square = s[3] + s[0] * s[0] + s[1] * s[1] + s[2] * s[2];
    if (!(square > 0.0)) return start;
    return {start.centre + PatientVector{s[0], s[1], s[2]}, std::sqrt(square)};
}

}  // namespace perisclera
