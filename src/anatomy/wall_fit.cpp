// SPDX-License-Identifier: Apache-2.0
#include "wall_fit.h"

#include <algorithm>
#include <cmath>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "perisclera/core/quantile.h"
#include "wall_edges.h"

namespace perisclera {

namespace {

constexpr unsigned n = SmoothRadius::count;
constexpr double step = WallEdge::step_mm;

/// How well places agree with a ray: the logarithm of their probability, blurred, over that of a ray that knows nothing.
std::vector<double> agreement(const WallEdge& edge, double blur_mm) {
    const double errs = edge.hidden ? 0.8 : 0.15;  // share of rays that show another edge: assumed
    const int half = static_cast<int>(std::ceil(3.0 * blur_mm / step)), count = static_cast<int>(edge.probability.size());
    std::vector<double> kernel;
    double sum = 0.0;
    for (int k = -half; k <= half; ++k) kernel.push_back(std::exp(-0.5 * std::pow(k * step / blur_mm, 2))), sum += kernel.back();
    std::vector<double> logarithms;
    for (int i = 0; i < count; ++i) {
        double blurred = 0.0;
        for (int k = std::max(-half, -i); k <= std::min(half, count - 1 - i); ++k) blurred += kernel[static_cast<std::size_t>(k + half)] / sum * edge.probability[static_cast<std::size_t>(i + k)];
        logarithms.push_back(std::log(errs + (1.0 - errs) * blurred * count));
    }
    return logarithms;
}

struct Local {
    double slope, curvature;   ///< per mm, per mm squared
};

/// Of equidistant samples, by the parabola through the nearest three; none beyond them.
Local local(const std::vector<double>& samples, double at) {
    const auto last = static_cast<double>(samples.size() - 1);
    if (at < 0.0 || at > last) return {0.0, 0.0};
    const double nearest = std::clamp(std::round(at), 1.0, last - 1.0);
    const auto i = static_cast<std::size_t>(nearest);
    const double first = 0.5 * (samples[i + 1] - samples[i - 1]), second = samples[i + 1] - 2.0 * samples[i] + samples[i - 1];
    return {(first + (at - nearest) * second) / step, second / (step * step)};
}

/// Shift of the centre and shape about the place from which the edges were seen: r(direction) = shift . direction + shape(direction), to first order in the shift.
class Agreement {
public:
    Agreement(const std::vector<WallEdge>& edges, PatientPoint seen_from, const SmoothRadius& start, PatientVector anterior, const WallHints& hints, bool fine)
        : edges_(edges), seen_from_(seen_from), hints_(hints), fine_(fine), at_(n, 0.0), normal_(n, n, 0.0) {
        for (unsigned k = 0; k < n; ++k) at_[k] = k >= 1 && k <= 3 ? 0.0 : start.coefficients()[k];
        for (const WallEdge& e : edges) bases_.push_back(SmoothRadius::basis(e.direction, anterior));
    }
    /// From coarse to fine, so that a nearer false edge does not hold the climb. False where the edges do not tell the shape.
    bool climb(const std::vector<double>& blurs_mm) {
        for (const double blur_mm : blurs_mm) {
            blur(blur_mm);
            if (!climb_here()) return false;
        }
        return true;
    }
    /// Puts what was found into the fit.
    void tell(GlobeFit& fit, PatientVector anterior) const {
        fit.centre = seen_from_ + PatientVector{at_[1], at_[2], at_[3]};
        std::array<double, n> shape{};
        for (unsigned k = 0; k < n; ++k) shape[k] = k >= 1 && k <= 3 ? 0.0 : at_[k];
        fit.outer = SmoothRadius(shape, anterior);
        const vnl_matrix<double> inverse = vnl_cholesky(normal_, vnl_cholesky::quiet).inverse();
        fit.centre_uncertainty_mm = std::sqrt(std::max({inverse(1, 1), inverse(2, 2), inverse(3, 3)}));
        fit.radius_uncertainty_mm = std::sqrt(inverse(0, 0));
        std::vector<double> off;
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            const auto likeliest = std::max_element(edges_[i].probability.begin(), edges_[i].probability.end()) - edges_[i].probability.begin();
            off.push_back(std::abs(edges_[i].nearest_mm + step * static_cast<double>(likeliest) - radius(i)));
        }
        fit.residual_mm = 1.4826 * quantile(std::move(off), 0.5);
    }

private:
    [[nodiscard]] double radius(std::size_t ray) const {
        double r = 0.0;
        for (unsigned k = 0; k < n; ++k) r += at_[k] * bases_[ray][k];
        return r;
    }
    void blur(double blur_mm) {
        curves_.clear();
        for (const WallEdge& e : edges_) curves_.push_back(agreement(e, blur_mm));
    }
    [[nodiscard]] Local local_at(std::size_t ray) const { return local(curves_[ray], (radius(ray) - edges_[ray].nearest_mm) / step); }
    bool climb_here() {
        constexpr double farthest_step_mm = 0.5, settled_mm = 0.005;
        for (int round = 0; round < 6; ++round) {
            const vnl_vector<double> right = equations();
            const vnl_cholesky solver(normal_, vnl_cholesky::quiet);
            if (solver.rank_deficiency() != 0) return false;
            vnl_vector<double> change = solver.solve(right);
            const double size = change.inf_norm();
            if (size > farthest_step_mm) change *= farthest_step_mm / size;
            at_ += change;
            if (size < settled_mm) break;
        }
        return true;
    }
    /// Newton's step where the parabola bends downwards, a short one where it does not.
    vnl_vector<double> equations() {
        normal_.fill(0.0);
        vnl_vector<double> right(n, 0.0);
        for (std::size_t i = 0; i < curves_.size(); ++i) {
            const Local l = local_at(i);
            const double bend = std::max(-l.curvature, std::abs(l.slope)) / err_together;
            for (unsigned r = 0; r < n; ++r) {
                right[r] += l.slope / err_together * bases_[i][r];
                for (unsigned c = 0; c < n; ++c) normal_(r, c) += bend * bases_[i][r] * bases_[i][c];
            }
        }
        for (unsigned k = 0; k < n; ++k) {
            if (k >= 1 && k <= 3) continue;
            normal_(k, k) += 1.0 / (spread(k) * spread(k));
            right[k] += (usual(k) - at_[k]) / (spread(k) * spread(k));
        }
        if (hints_.fellow_radius_mm) {
            const double off = *hints_.fellow_radius_mm - at_[0], weight = weight_of_fellow(off);
            normal_(0, 0) += weight;
            right[0] += weight * off;
        }
        if (const auto& cornea = hints_.cornea) {
            const std::array<double, n> row = at_limbus(cornea->axis);
            double radius_mm = 0.0;
            for (unsigned k = 0; k < n; ++k) radius_mm += k >= 1 && k <= 3 ? 0.0 : at_[k] * row[k];
            const double weight = 1.0 / (cornea->spread_mm * cornea->spread_mm), off = cornea->off(seen_from_ + PatientVector{at_[1], at_[2], at_[3]}, radius_mm);
            for (unsigned r = 0; r < n; ++r) {
                right[r] -= weight * row[r] * off;
                for (unsigned c = 0; c < n; ++c) normal_(r, c) += weight * row[r] * row[c];
            }
        }
        return right;
    }

    /// What a change of each coefficient moves the cornea by, along the axis: it stands on the circle of the limbus. The shift of the centre counts whole. Round a circle about
    /// the axis harmonics of degree 2 average to Legendre's polynomial times their value on the axis; the terms of the back are none there.
    [[nodiscard]] std::array<double, n> at_limbus(PatientVector axis) const {
        constexpr double usual_radius_mm = 12.1, across = CorneaPlace::limbus_radius_mm / usual_radius_mm, legendre = 1.0 - 1.5 * across * across;
        std::array<double, n> row{1.0, axis.x, axis.y, axis.z};
        if (!fine_) return row;   // shapes are told too badly to hold a centre
        const auto on_axis = SmoothRadius::basis(axis, axis);
        for (std::size_t k = 4; k < SmoothRadius::posterior; ++k) row[k] = legendre * on_axis[k];
        return row;
    }

    static constexpr double err_together = 8.0;  // rays that see the same voxels, and share what the layers leave unexplained: assumed
    // Adult globes measure 24.2 mm across, 21 to 27 (250 adults, CT: Bekerman I et al., J Ophthalmol 2014:503645). Eyes depart from a sphere by a few tenths of a
    // millimetre; few are drawn out behind, but some by many, and then not as a smooth half of an ellipsoid: by the less the finer.
    static double usual(unsigned coefficient) { return coefficient == 0 ? 12.1 : 0.0; }
    [[nodiscard]] double spread(unsigned coefficient) const {
        constexpr double radius = 0.8, departs = 0.3;
        // Assumed; coarse slices show nothing of the finest two.
        constexpr std::array fine{1.5, 1.0, 0.5, 0.3}, coarse{1.5, 1.0, 0.01, 0.01};
        static_assert(SmoothRadius::posterior + fine.size() == SmoothRadius::count);
        return coefficient == 0 ? radius : coefficient < SmoothRadius::posterior ? departs : (fine_ ? fine : coarse)[coefficient - SmoothRadius::posterior];
    }

    // Both eyes of a person are nearly alike, but for one in some that is far longer or shrunken: Student's t, spread and degrees of freedom assumed.
    static double weight_of_fellow(double off_mm) {
        constexpr double alike_mm = 0.15, freedom = 3.0;
        return (freedom + 1.0) / (freedom * alike_mm * alike_mm + off_mm * off_mm);
    }

    const std::vector<WallEdge>& edges_;
    PatientPoint seen_from_;
    const WallHints& hints_;
    bool fine_;   ///< as shows_fine_walls()
    std::vector<std::array<double, n>> bases_;
    std::vector<std::vector<double>> curves_;
    vnl_vector<double> at_;
    vnl_matrix<double> normal_;
};

}  // namespace

GlobeFit follow_wall(const VoxelGrid& grid, Modality modality, const GlobeFit& from, PatientVector anterior, const WallHints& hints) {
    GlobeFit fit = from;
    constexpr double least_noise = 0.05;   // as a share of the contrast at the wall: assumed
    const bool fine = shows_fine_walls(grid);
    // Seen anew from where it led.
    for (const std::vector<double>& blurs_mm : {std::vector<double>{1.0, 0.6, 0.35, 0.25}, {0.35, 0.25}, {0.35, 0.25}}) {
        std::vector<WallEdge> edges = wall_edges(grid, modality, fit.centre, fit.outer, anterior, least_noise * from.contrast);
        if (hints.covered) std::erase_if(edges, [&](const WallEdge& e) { return hints.covered(e.direction); });
        constexpr std::size_t least_rays = 60;
        if (edges.size() < least_rays) return from;
        Agreement agreement(edges, fit.centre, fit.outer, anterior, hints, fine);
        if (!agreement.climb(blurs_mm)) return from;
        agreement.tell(fit, anterior);
    }
    return fit;
}

}  // namespace perisclera
