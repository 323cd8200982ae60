// SPDX-License-Identifier: Apache-2.0
#include "globe_placement.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "layered_ball.h"
#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "soft_tissue.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

// The vitreous ends on retina only behind the ora serrata, some 7 mm behind the limbus or 60 degrees from the axis (textbook). Further
// forward the ciliary body thickens the wall inwards; read as the wall it would draw the centre backwards.
constexpr double front_cosine = 0.5;

using Shape = std::array<double, SmoothRadius::count>;

/// Centre and shape of the surface where the vitreous ends.
struct Place {
    PatientPoint centre;
    Shape inner{};
};

/// One way in which the climb changes a place.
struct Step {
    PatientVector centre;
    std::size_t coefficient = 0;
    double change = 0.0;
};

/// The best place, and how well it agrees with the images.
struct Placed {
    GlobeFit fit;
    double score;
};

class Placement {
public:
    /// Without `fluids` the contents are one.
    Placement(const VoxelGrid& grid, Modality modality, Ball start, std::optional<LayeredFluids> fluids, PatientVector anterior)
        : grid_(grid), modality_(modality), ct_(modality == Modality::ct), start_(start), fluids_(fluids), anterior_(anterior), rays_(even_directions<PatientLps>(500)) {
        // A ray across thick slices says little about where it ends.
        const auto& g = grid.geometry();
        for (const PatientVector& d : rays_) {
            const double voxel = voxel_length_mm(g, d);
            constexpr double thick_mm = 1.5;
            sharpness_.push_back(1.0 / (1.0 + voxel * voxel / (thick_mm * thick_mm)));
        }
        look_inside();
        std::vector<double> steps;
        for (const PatientVector& d : rays_)
            if (const PatientPoint p = start_.centre + d * (start_.radius + 1.5); dot(d, anterior) < front_cosine) steps.push_back(departure(p, value(p)));
        // Sclera stands about 40 HU above vitreous (50 against 10 HU, from memory).
        contrast_ = ct_ ? 40.0 : std::max(quantile(steps, 0.4), 3.0 * interior_spread_);
    }

    [[nodiscard]] Placed best() const {
        const Place place = climb();
        Shape outer = place.inner;
        outer[0] += wall_at_equator_mm;
        constexpr double centre_uncertainty_mm = 1.0, radius_uncertainty_mm = 0.3, residual_mm = 0.8;  // of a placement: assumed
        return {{place.centre, SmoothRadius(outer, anterior_), interior_mean_, interior_spread_, contrast_, centre_uncertainty_mm, radius_uncertainty_mm, residual_mm, fluids_}, score(place)};
    }

private:
    [[nodiscard]] double value(PatientPoint p) const { return clipped_filling(static_cast<double>(grid_.sample(p)), modality_); }

    /// How far a signal lies off what the contents show at a point.
    [[nodiscard]] double departure(PatientPoint p, double signal) const { return fluids_ ? fluids_->departure(p, signal) : std::abs(signal - interior_mean_); }

    void look_inside() {
        std::vector<double> inside;
        for (double r = 1.5; r < start_.radius - 3.5; r += 1.5)
            for (std::size_t i = 0; i < rays_.size(); i += 5)
                if (dot(rays_[i], anterior_) < 0.2 || r < 3.0) inside.push_back(value(start_.centre + rays_[i] * r));
        interior_mean_ = quantile(inside, 0.5);
        for (double& v : inside) v = std::abs(v - interior_mean_);
        interior_spread_ = 1.4826 * quantile(std::move(inside), 0.5);
        if (fluids_) interior_mean_ = fluids_->main(), interior_spread_ = fluids_->spread;
    }

    [[nodiscard]] double score(const Place& at) const {
        constexpr double fat_at_most_hu = -30.0, fat_fall_hu = 80.0;
        const double impurity_weight = ct_ ? 0.6 : 1.2;
        const SmoothRadius shape(at.inner, anterior_);
        double sum = 0.0;
        for (std::size_t i = 0; i < rays_.size(); i += 2) {
            const PatientVector& d = rays_[i];
            if (dot(d, anterior_) > front_cosine) continue;
            const double thickening = ct_ ? wall_thickening_mm(dot(d, anterior_)) : 0.0, radius = shape.at(d) - thickening;
            const auto point = [&](double offset) { return at.centre + d * (radius + offset); };
            const auto v = [&](double offset) { return value(point(offset)); };
            constexpr std::array<double, 4> within_mm{-3.0, -2.0, -1.2, -0.8};
            const std::array<double, 4> within{v(within_mm[0]), v(within_mm[1]), v(within_mm[2]), v(within_mm[3])};
            const double inside = (within[0] + within[1] + within[2]) / 3.0, wall = (v(0.2) + v(0.9)) / 2.0;
            // Contents up to the wall: every sample that departs from it counts against the place.
            double impurity = 0.0;
            for (std::size_t k = 0; k < within.size(); ++k) impurity += 0.25 * std::min(1.0, departure(point(within_mm[k]), within[k]) / contrast_);
            // On CT the wall is brighter than any vitreous; on MR, and beside other fluids, it may lie on either side.
            double step = fluids_ ? departure(point(0.5), wall) : ct_ ? wall - inside : std::abs(wall - inside);
            // Against fat blur hides a thin wall; there the fall from wall to fat marks the outer surface, one wall further out.
            if (const double wall_mm = wall_at_equator_mm + thickening; ct_ && v(wall_mm + 1.7) < fat_at_most_hu)
                step = std::max(0.5 * step, contrast_ * std::min(1.0, (v(wall_mm - 0.6) - v(wall_mm + 0.9)) / fat_fall_hu));
            sum += sharpness_[i] * (std::clamp(step / contrast_, -0.5, 1.0) - impurity_weight * impurity);
        }
        // Eyes depart from a sphere by a few tenths of a millimetre.
        constexpr double usual_departure_mm = 0.35;
        // Adult globes measure 24.2 mm across, 21 to 27 (250 adults, CT: Bekerman I et al., J Ophthalmol 2014:503645).
        constexpr double usual_inner_radius_mm = 11.0, spread_mm = 0.75, radius_weight = 1.0, elongation_spread_mm = 1.0;
        const double off = (at.inner[0] - usual_inner_radius_mm) / spread_mm;
        sum -= radius_weight * off * off;
        for (std::size_t k = 4; k < SmoothRadius::posterior; ++k) sum -= at.inner[k] * at.inner[k] / (usual_departure_mm * usual_departure_mm);
        // Few eyes are drawn out behind, but some by many millimetres.
        return sum - 4.0 * std::log1p(0.25 * std::pow(at.inner[SmoothRadius::posterior] / elongation_spread_mm, 2));
    }

    [[nodiscard]] Place climb() const {
        // Centre, radius, then shape. The elongation trades with the centre, so they also step together.
        std::vector<Step> steps{{{1, 0, 0}}, {{0, 1, 0}}, {{0, 0, 1}}, {{0, 0, 0}, 0, 1.0}, {{0, 0, 0}, SmoothRadius::posterior, 1.0}, {anterior_, SmoothRadius::posterior, 1.0}};
        const std::size_t without_shape = steps.size();
        for (std::size_t k = 4; k < SmoothRadius::posterior; ++k) steps.push_back({{0, 0, 0}, k, 1.0});
        const auto climbed = [&](Place place, std::size_t kinds_of_step, double first_step, double least_step) {
            double best = score(place);
            for (double step = first_step; step > least_step; step *= 0.5)
                for (int pass = 0; pass < 12; ++pass) {
                    bool moved = false;
                    for (std::size_t k = 0; k < kinds_of_step; ++k)
                        for (const double sign : {-1.0, 1.0}) {
                            Place trial = place;
                            trial.centre = trial.centre + steps[k].centre * (sign * step);
                            trial.inner[steps[k].coefficient] += sign * step * steps[k].change;
                            if (trial.inner[0] < 8.5 || trial.inner[0] > 14.5 || length(trial.centre - start_.centre) > 6.0) continue;
                            const double here = score(trial);
                            if (here > best + 1e-9) best = here, place = trial, moved = true;
                        }
                    if (!moved) break;
                }
            return place;
        };
        // Several starts: an element beside the globe can hold a single climb on a false summit.
        constexpr double apart_mm = 2.0;
        std::vector<Place> starts(10, {start_.centre, {start_.radius}});
        starts[1].centre.x += apart_mm, starts[2].centre.x -= apart_mm;
        starts[3].centre.y += apart_mm, starts[4].centre.y -= apart_mm;
        starts[5].centre.z += apart_mm, starts[6].centre.z -= apart_mm;
        for (const std::size_t drawn_out : {7u, 8u, 9u}) {
            const double by_mm = 2.0 * static_cast<double>(drawn_out - 6);
            starts[drawn_out].centre = starts[drawn_out].centre + anterior_ * (0.5 * by_mm);
            starts[drawn_out].inner[SmoothRadius::posterior] = by_mm;
        }
        Place best = starts.front();
        double best_score = -1e30;
        for (const Place& from : starts) {
            const Place reached = climbed(from, without_shape, 1.0, 0.2);
            if (const double here = score(reached); here > best_score) best_score = here, best = reached;
        }
        return climbed(best, ct_ ? steps.size() : without_shape, ct_ ? 0.5 : 0.125, 0.015);
    }

    const VoxelGrid& grid_;
    Modality modality_;
    bool ct_;
    Ball start_;
    std::optional<LayeredFluids> fluids_;
    PatientVector anterior_;
    std::vector<PatientVector> rays_;
    std::vector<double> sharpness_;  ///< weight of each ray, 0..1
    double interior_mean_ = 0.0, interior_spread_ = 0.0, contrast_ = 0.0;
};

/// Two fluids and one wall about both.
std::optional<LayeredBall> two_fluids(const VoxelGrid& grid, Modality modality, const Ball& start) {
    constexpr double least_roundness = 0.25, farthest_mm = 7.0, bright = 0.9, fluids_differ = 0.12;
    constexpr PatientVector supine{0.0, 1.0, 0.0};
    const SignalSource signals{[&](PatientPoint p) { return clipped_filling(static_cast<double>(grid.sample(p)), modality); }, [&](PatientPoint p) { return grid.geometry().contains(p); }};
    std::vector<double> around;
    for (const double off : {2.0, 4.0, 6.0})
        for (const PatientVector& d : even_directions<PatientLps>(100))
            if (const PatientPoint p = start.centre + d * (start.radius + off); signals.imaged(p)) around.push_back(signals.value(p));
    if (around.empty()) return std::nullopt;
    // As a share of the brightest tissue round the globe: assumed.
    const double departure = modality == Modality::ct ? departure_hu : fluids_differ * quantile(std::move(around), bright);
    if (departure <= 0.0) return std::nullopt;
    auto ball = roundest_layered_ball(signals, start.centre, supine, departure, farthest_mm);
    if (!ball || ball->roundness < least_roundness) return std::nullopt;
    // On CT fat is no fluid of an eye (common practice, no source).
    constexpr double least_fat_hu = -150.0, most_fat_hu = -20.0;
    if (modality == Modality::ct)
        for (const double hu : {ball->fluids.above, ball->fluids.below})
            if (hu > least_fat_hu && hu < most_fat_hu) return std::nullopt;
    return ball;
}

}  // namespace

GlobeFit place_globe(const VoxelGrid& grid, Modality modality, const GlobeCandidate& start, PatientVector anterior) {
    const Ball ball{start.centre, start.inner_radius.value()};
    const Placed one = Placement(grid, modality, ball, std::nullopt, anterior).best();
    const auto filled = two_fluids(grid, modality, ball);
    if (!filled) return one.fit;
    const Placed two = Placement(grid, modality, filled->inside, filled->fluids, anterior).best();
    // A wall about both that is hardly as round as that about one has to show plainly better. The shares are ours, by simulated eyes.
    constexpr double as_round = 0.8, nearly = 0.9, plainly = 1.1;
    const double needed = filled->roundness < as_round * start.roundness ? plainly : nearly;
    return two.score > needed * one.score ? two.fit : one.fit;
}

}  // namespace perisclera
