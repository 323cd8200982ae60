// SPDX-License-Identifier: Apache-2.0
#include "surface_fit.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"

namespace perisclera {

namespace {

constexpr double profile_start_mm = 5.0, profile_step_mm = 0.25;
constexpr int profile_length = 52;
// The vitreous ends on retina only behind the ora serrata, some 7 mm behind the limbus or 60 degrees from the axis (textbook). Further
// forward the ciliary body thickens the wall inwards; read as the wall it would draw the centre backwards.
constexpr double front_cosine = 0.5;
constexpr double posterior_spread_mm = 1.0;  // of the elongation

double median(std::vector<double> v) {
    const auto k = static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), v.begin() + k, v.end());
    return v[static_cast<std::size_t>(k)];
}

using Profile = std::array<double, profile_length>;

/// One way in which the climb changes a fit.
struct Step {
    PatientVector centre;
    std::size_t coefficient = 0;
    double change = 0.0;
};

class SurfaceFit {
public:
    SurfaceFit(const VoxelGrid& grid, Modality modality) : grid_(grid), modality_(modality), rays_(even_directions<PatientLps>(500)) {
        // A ray across thick slices says little about where it ends.
        const auto& g = grid.geometry();
        for (const PatientVector& d : rays_) {
            const std::array<double, 3> along{dot(d, g.row()) * g.spacing_mm()[0], dot(d, g.column()) * g.spacing_mm()[1], dot(d, g.normal()) * g.spacing_mm()[2]};
            const double blur_squared = along[0] * along[0] + along[1] * along[1] + along[2] * along[2];
            sharpness_.push_back(1.0 / (1.0 + blur_squared / (1.5 * 1.5)));
        }
    }

    /// anterior: rays within 60 degrees of it meet lens, cornea or ciliary body and are left out.
    Fit run(const GlobeCandidate& start, PatientVector anterior, const std::optional<CorneaPlace>& cornea = std::nullopt) const {
        const Fit placed = place(start, anterior, cornea);
        // Single rays of CT do not show the wall against muscle; the placement is the better estimate there.
        if (modality_ == Modality::ct) return placed;
        Fit fit = placed;
        constexpr int rounds = 8;
        for (int round = 0; round < rounds; ++round) one_round(fit, anterior, cornea, round >= 3, round == rounds - 1);
        const bool trusted = fit.residual < 0.8 && length(fit.centre - placed.centre) < 2.0;
        return trusted ? fit : placed;
    }

private:
    [[nodiscard]] double value(PatientPoint p) const {
        const auto v = static_cast<double>(grid_.sample(p));
        return modality_ == Modality::ct ? std::clamp(v, -200.0, 200.0) : v;
    }

    /// Centre and radius by the sum over all rays of a clipped step across the wall. Clipping makes bone and fat worth no
    /// more than muscle, the sum makes noise harmless: this is what finds a globe whose wall no single ray shows.
    [[nodiscard]] Fit place(const GlobeCandidate& start, PatientVector anterior, const std::optional<CorneaPlace>& cornea) const {
        Fit fit;
        fit.centre = start.centre;
        fit.anterior = anterior;
        fit.shape = {start.inner_radius.value()};
        interior(fit, anterior, start.inner_radius.value());
        std::vector<double> steps;
        for (const PatientVector& d : rays_)
            if (dot(d, anterior) < front_cosine) steps.push_back(std::abs(value(start.centre + d * (start.inner_radius.value() + 1.5)) - fit.interior_mean));
        const bool ct = modality_ == Modality::ct;
        // Sclera stands about 40 HU above vitreous (50 against 10 HU, from memory).
        const double typical = ct ? 40.0 : std::max(quantile(steps, 0.4), 3.0 * fit.interior_spread);
        constexpr double fat_at_most_hu = -30.0, fat_fall_hu = 80.0;
        const double impurity_weight = ct ? 0.6 : 1.2;
        const auto score = [&](const Fit& at) {
            const SmoothRadius shape(at.shape, anterior);
            double sum = 0.0;
            for (std::size_t i = 0; i < rays_.size(); i += 2) {
                const PatientVector& d = rays_[i];
                if (dot(d, anterior) > front_cosine) continue;
                const double thickening = ct ? wall_thickening_mm(dot(d, anterior)) : 0.0, radius = shape.at(d) - thickening;
                const auto v = [&](double offset) { return value(at.centre + d * (radius + offset)); };
                const std::array<double, 4> within{v(-3.0), v(-2.0), v(-1.2), v(-0.8)};
                const double inside = (within[0] + within[1] + within[2]) / 3.0, wall = (v(0.2) + v(0.9)) / 2.0;
                // Vitreous up to the wall: every sample that departs from it counts against the place.
                double impurity = 0.0;
                for (const double w : within) impurity += 0.25 * std::min(1.0, std::abs(w - fit.interior_mean) / typical);
                // On CT the wall is brighter than any vitreous; on MR it may lie on either side.
                double step = ct ? wall - inside : std::abs(wall - inside);
                // Against fat blur hides a thin wall; there the fall from wall to fat marks the outer surface, one wall further out.
                if (const double wall_mm = wall_at_equator_mm + thickening; ct && v(wall_mm + 1.7) < fat_at_most_hu)
                    step = std::max(0.5 * step, typical * std::min(1.0, (v(wall_mm - 0.6) - v(wall_mm + 0.9)) / fat_fall_hu));
                sum += sharpness_[i] * (std::clamp(step / typical, -0.5, 1.0) - impurity_weight * impurity);
            }
            // Eyes depart from a sphere by a few tenths of a millimetre.
            constexpr double usual_departure_mm = 0.35;
            // Adult globes measure 24.2 mm across, 21 to 27 (250 adults, CT: Bekerman I et al., J Ophthalmol 2014:503645).
            constexpr double usual_inner_radius_mm = 11.0, spread_mm = 0.75, radius_weight = 1.0, cornea_weight = 2.0;
            const double off = (at.shape[0] - usual_inner_radius_mm) / spread_mm;
            sum -= radius_weight * off * off;
            for (std::size_t k = 4; k < 9; ++k) sum -= at.shape[k] * at.shape[k] / (usual_departure_mm * usual_departure_mm);
            // Few eyes are drawn out behind, but some by many millimetres.
            sum -= 4.0 * std::log1p(0.25 * std::pow(at.shape[SmoothRadius::posterior] / posterior_spread_mm, 2));
            if (cornea) sum -= cornea_weight * std::pow(cornea->off(at.centre, at.shape[0]) / cornea->spread_mm, 2);
            return sum;
        };
        // Centre, radius, then shape. The elongation trades with the centre, so they also step together.
        std::vector<Step> steps_to_try{{{1, 0, 0}}, {{0, 1, 0}}, {{0, 0, 1}}, {{0, 0, 0}, 0, 1.0}, {{0, 0, 0}, SmoothRadius::posterior, 1.0}, {anterior, SmoothRadius::posterior, 1.0}};
        const std::size_t without_shape = steps_to_try.size();
        for (std::size_t k = 4; k < SmoothRadius::posterior; ++k) steps_to_try.push_back({{0, 0, 0}, k, 1.0});
        const auto climb = [&](std::size_t kinds_of_step, double first_step, double least_step) {
            double best = score(fit);
            for (double step = first_step; step > least_step; step *= 0.5)
                for (int pass = 0; pass < 12; ++pass) {
                    bool moved = false;
                    for (std::size_t k = 0; k < kinds_of_step; ++k)
                        for (const double sign : {-1.0, 1.0}) {
                            Fit trial = fit;
                            trial.centre = trial.centre + steps_to_try[k].centre * (sign * step);
                            trial.shape[steps_to_try[k].coefficient] += sign * step * steps_to_try[k].change;
                            if (trial.shape[0] < 8.5 || trial.shape[0] > 14.5 || length(trial.centre - start.centre) > 6.0) continue;
                            const double here = score(trial);
                            if (here > best + 1e-9) best = here, fit = trial, moved = true;
                        }
                    if (!moved) break;
                }
        };
        // Several starts: an element beside the globe can hold a single climb on a false summit.
        const Fit first = fit;
        Fit best_fit = first;
        double best_score = -1e30;
        for (int start_number = 0; start_number < 10; ++start_number) {
            fit = first;
            if (start_number >= 7) {
                const double drawn_out = 2.0 * (start_number - 6);
                fit.centre = fit.centre + anterior * (0.5 * drawn_out);
                fit.shape[SmoothRadius::posterior] = drawn_out;
            }
            constexpr double apart_mm = 2.0;
            const double offset = start_number % 2 == 1 ? apart_mm : -apart_mm;
            if (start_number == 1 || start_number == 2) fit.centre.x += offset;
            if (start_number == 3 || start_number == 4) fit.centre.y += offset;
            if (start_number == 5 || start_number == 6) fit.centre.z += offset;
            climb(without_shape, 1.0, 0.2);
            const double reached = score(fit);
            if (reached > best_score) best_score = reached, best_fit = fit;
        }
        fit = best_fit;
        // MR refines its shape ray by ray; CT has only the sum to go by.
        climb(ct ? steps_to_try.size() : without_shape, ct ? 0.5 : 0.125, 0.015);
        fit.contrast = typical;
        fit.residual = 0.8;
        return fit;
    }

    void one_round(Fit& fit, PatientVector anterior, const std::optional<CorneaPlace>& cornea, bool with_shape, bool last) const {
        const double radius = fit.shape[0];
        const SmoothRadius shape(fit.shape, anterior);
        const auto edge = [&](const PatientVector& d) { return shape.at(d) - fit.thickening * wall_thickening_mm(dot(d, anterior)); };
        std::vector<Profile> profiles;
        std::vector<PatientVector> directions;
        std::vector<double> sharpness;
        for (std::size_t i = 0; i < rays_.size(); ++i) {
            const PatientVector& d = rays_[i];
            if (dot(d, anterior) > front_cosine) continue;
            if (!grid_.geometry().contains(fit.centre + d * 15.0)) continue;
            Profile p;
            for (int k = 0; k < profile_length; ++k) p[static_cast<std::size_t>(k)] = value(fit.centre + d * (profile_start_mm + k * profile_step_mm));
            profiles.push_back(p);
            directions.push_back(d);
            sharpness.push_back(sharpness_[i]);
        }
        if (profiles.size() < 60) return;
        interior(fit, anterior, radius);
        const auto index = [](double r) { return static_cast<std::size_t>(std::clamp((r - profile_start_mm) / profile_step_mm, 0.0, profile_length - 1.0)); };
        // The level that ends the vitreous: half way to what a typical ray meets just outside, the same for all rays.
        std::vector<double> departures;
        for (std::size_t i = 0; i < profiles.size(); ++i) {
            const double r0 = edge(directions[i]);
            double most = 0.0;
            for (std::size_t k = index(r0 - 0.5); k <= index(r0 + 1.75); ++k) {
                const double off = profiles[i][k] - fit.interior_mean;
                if (std::abs(off) > std::abs(most)) most = off;
            }
            departures.push_back(most);
        }
        double balance = 0.0;
        for (const double d : departures) balance += (d > 0.0 ? 1.0 : -1.0) / static_cast<double>(departures.size());
        // One polarity all round (T1, T2), or fat brighter and wall darker than the vitreous (proton density): then only the size counts.
        const double sign = balance > 0.7 ? 1.0 : balance < -0.7 ? -1.0 : 0.0;
        const auto departure = [&](double v) { return sign == 0.0 ? std::abs(v - fit.interior_mean) : sign * (v - fit.interior_mean); };
        for (double& d : departures) d = sign == 0.0 ? std::abs(d) : sign * d;
        fit.contrast = std::max(quantile(departures, 0.3), 3.0 * fit.interior_spread);
        // Half way to what this ray meets: a level common to all would lie farther in where fat follows than where muscle does.
        const double least_level = 0.35 * fit.contrast;

        std::vector<double> ends(profiles.size(), -1.0);
        for (std::size_t i = 0; i < profiles.size(); ++i) {
            const double r0 = edge(directions[i]);
            double best = 1e9;
            const double level = std::max(0.5 * departures[i], least_level);
            for (std::size_t k = 1; k < profile_length; ++k) {
                const double before = departure(profiles[i][k - 1]) - level, after = departure(profiles[i][k]) - level;
                if (!(before < 0.0 && after >= 0.0)) continue;
                const double r = profile_start_mm + profile_step_mm * (static_cast<double>(k) - after / (after - before));
                if (std::abs(r - r0) < std::abs(best - r0)) best = r;
            }
            if (std::abs(best - r0) < 2.0) ends[i] = best;
        }
        // Bright contents end at the wall's inner face, which lies farther in where the wall is thicker.
        fit.thickening = sign < 0.0 ? 1.0 : 0.0;
        std::vector<double> even_ends = ends;
        for (std::size_t i = 0; i < ends.size(); ++i)
            if (ends[i] >= 0.0) even_ends[i] += fit.thickening * wall_thickening_mm(dot(directions[i], anterior));
        solve(fit, directions, sharpness, even_ends, cornea, with_shape);
        if (last) find_outer_face(fit, directions, ends);
    }

    /// The brightest tenth of what lies about the globe.
    [[nodiscard]] double orbital_fat(const Fit& fit) const {
        const SmoothRadius shape(fit.shape, fit.anterior);
        std::vector<double> around;
        for (const PatientVector& d : rays_)
            for (const double beyond : {4.0, 6.0, 8.0})
                if (const PatientPoint p = fit.centre + d * (shape.at(d) + beyond); dot(d, fit.anterior) < 0.0 && grid_.geometry().contains(p)) around.push_back(value(p));
        return around.empty() ? fit.interior_mean : quantile(std::move(around), 0.9);
    }

    /// From the rays whose own edge agrees with the surface: against muscle there may be none, and it lies elsewhere at an element.
    void find_outer_face(Fit& fit, const std::vector<PatientVector>& directions, const std::vector<double>& ends) const {
        const SmoothRadius shape(fit.shape, fit.anterior);
        const auto edge = [&](const PatientVector& d) { return shape.at(d) - fit.thickening * wall_thickening_mm(dot(d, fit.anterior)); };
        const auto spacing = grid_.geometry().spacing_mm();
        const std::array<PatientVector, 3> axes{grid_.geometry().row(), grid_.geometry().column(), grid_.geometry().normal()};
        std::vector<std::size_t> agreeing;
        double blur = 0.0;
        for (std::size_t i = 0; i < ends.size(); ++i) {
            if (ends[i] < 0.0 || std::abs(ends[i] - edge(directions[i])) > 2.0 * fit.residual) continue;
            // Thick slices blur a wall that they cut slantwise beyond use.
            double squared = 0.0;
            for (std::size_t a = 0; a < 3; ++a) squared += std::pow(dot(directions[i], axes[a]) * spacing[a], 2);
            if (squared > 1.5 * 1.5) continue;
            agreeing.push_back(i);
            blur += std::sqrt(squared / 12.0);
        }
        if (agreeing.size() < 20) return;
        constexpr double first = -3.0, step = 0.25;
        WallProfile profile{first, step, {}, orbital_fat(fit)};
        for (int k = 0; k <= 22; ++k) {
            std::vector<double> across;
            for (const std::size_t i : agreeing) across.push_back(value(fit.centre + directions[i] * (edge(directions[i]) + first + k * step)));
            profile.signal.push_back(median(std::move(across)));
        }
        fit.outer = outer_face(profile, blur / static_cast<double>(agreeing.size()));
        // The profile is a mean over directions, the shape leaves the wall's thickening out.
        for (const std::size_t i : agreeing) fit.outer.offset_mm -= fit.thickening * wall_thickening_mm(dot(directions[i], fit.anterior)) / static_cast<double>(agreeing.size());
    }

    void interior(Fit& fit, PatientVector anterior, double radius) const {
        std::vector<double> inside;
        for (double r = 1.5; r < radius - 3.5; r += 1.5)
            for (std::size_t i = 0; i < rays_.size(); i += 5)
                if (dot(rays_[i], anterior) < 0.2 || r < 3.0) inside.push_back(value(fit.centre + rays_[i] * r));
        fit.interior_mean = median(inside);
        for (double& v : inside) v = std::abs(v - fit.interior_mean);
        fit.interior_spread = 1.4826 * median(std::move(inside));
    }

    static void solve(Fit& fit, const std::vector<PatientVector>& directions, const std::vector<double>& sharpness, const std::vector<double>& ends, const std::optional<CorneaPlace>& cornea,
                      bool with_shape) {
        // Linearised about the present centre: r(d) = shift . d + shape(d), the shape held by priors: 0.6 mm on degree 2, 1 mm on the elongation.
        constexpr unsigned n = SmoothRadius::count;
        vnl_vector<double> s(n, 0.0);
        for (unsigned k = 0; k < n; ++k) s[k] = fit.shape[k];
        double scale = std::max(fit.residual, 0.3);
        for (int pass = 0; pass < 6; ++pass) {
            vnl_matrix<double> normal(n, n, 0.0);
            vnl_vector<double> right(n, 0.0);
            std::vector<double> residuals;
            for (std::size_t i = 0; i < ends.size(); ++i) {
                if (ends[i] < 0.0) continue;
                const auto b = SmoothRadius::basis(directions[i], fit.anterior);
                double predicted = 0.0;
                for (unsigned k = 0; k < n; ++k) predicted += s[k] * b[k];
                const double u = (ends[i] - predicted) / (4.0 * scale);
                residuals.push_back(std::abs(ends[i] - predicted));
                const double w = std::abs(u) < 1.0 ? sharpness[i] * (1.0 - u * u) * (1.0 - u * u) : 0.0;  // Tukey's biweight
                for (unsigned r = 0; r < n; ++r) {
                    right[r] += w * b[r] * ends[i];
                    for (unsigned c = 0; c < n; ++c) normal(r, c) += w * b[r] * b[c];
                }
            }
            if (residuals.size() < 60) return;
            scale = std::clamp(1.4826 * median(residuals), 0.15, 1.5);
            constexpr double rays_that_err_together = 20.0, held = 1e6;
            for (unsigned k = 1; k < n; ++k) {
                const double spread = k == SmoothRadius::posterior ? 1.5 * posterior_spread_mm : 0.6;  // the placement has told long eyes from others
                normal(k, k) += k < 4 ? 0.5 : with_shape ? rays_that_err_together * (scale * scale) / (spread * spread) : held;
            }
            if (cornea) {
                const double w = rays_that_err_together * (scale * scale) / (cornea->spread_mm * cornea->spread_mm);
                const std::array<double, 3> along{cornea->axis.x, cornea->axis.y, cornea->axis.z};
                const double wanted_shift = -cornea->off(fit.centre, fit.shape[0]);
                for (unsigned r = 0; r < 3; ++r) {
                    right[r + 1] += w * along[r] * wanted_shift;
                    for (unsigned c = 0; c < 3; ++c) normal(r + 1, c + 1) += w * along[r] * along[c];
                }
            }
            const vnl_cholesky solver(normal, vnl_cholesky::estimate_condition);
            if (solver.rank_deficiency() != 0) return;
            s = solver.solve(right);
            const vnl_matrix<double> inverse = solver.inverse();
            // The component known worst: the one along the axis, which trades with the elongation.
            fit.centre_uncertainty = scale * std::sqrt(rays_that_err_together * std::max({inverse(1, 1), inverse(2, 2), inverse(3, 3)}));
        }
        const PatientVector shift{s[1], s[2], s[3]};
        const double step = length(shift);
        fit.centre = fit.centre + (step > 2.0 ? shift * (2.0 / step) : shift);
        for (unsigned k = 0; k < n; ++k) fit.shape[k] = k >= 1 && k <= 3 ? 0.0 : s[k];
        fit.shape[0] = std::clamp(fit.shape[0], 7.0, 16.0);
        fit.residual = scale;
    }

    const VoxelGrid& grid_;
    Modality modality_;
    std::vector<PatientVector> rays_;
    std::vector<double> sharpness_;  ///< weight of each ray, 0..1
};

}  // namespace

Fit fit_surface(const VoxelGrid& grid, Modality modality, const GlobeCandidate& start, PatientVector anterior, const std::optional<CorneaPlace>& cornea) {
    return SurfaceFit(grid, modality).run(start, anterior, cornea);
}

}  // namespace perisclera
