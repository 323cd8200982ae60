// SPDX-License-Identifier: Apache-2.0
#include "wall_look.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "blurred_step.h"
#include "perisclera/core/quantile.h"

namespace perisclera {

namespace {

constexpr double step = WallRay::step_mm;

struct Guess {
    double mean, spread;
};
struct WallGuess {
    Guess uvea, sclera;
};

/// Signals of the wall before anything is fitted.
WallGuess guess(const std::vector<WallRay>& rays, Modality modality) {
    // From memory.
    if (modality == Modality::ct) return {{50.0, 8.0}, {50.0, 8.0}};
    std::vector<double> contents, around;
    for (const WallRay& ray : rays) {
        constexpr int within = WallRay::inwards - 12, beyond = WallRay::inwards + 8;   // 3 mm and 2 mm
        contents.push_back(ray.signal[within]);
        around.push_back(ray.signal[beyond]);
    }
    const double inside = quantile(std::move(contents), 0.5), most = quantile(around, 0.9);
    // Sclera has hardly any signal in any usual sequence. Uvea shows like other soft tissue: much darker than bright vitreous, about as bright as muscle beside dark one.
    // Shares and spreads are assumed.
    const double brightest = std::max(inside, most);
    const Guess sclera{0.12 * brightest, 0.1 * brightest};
    if (inside > quantile(around, 0.75)) return {{0.35 * inside, 0.15 * inside}, sclera};
    // Muscle is the darkest of what is clearly brighter than the contents: fat is brighter yet or, suppressed, as dark as they are.
    std::vector<double> brighter;
    for (const double v : around)
        if (v > inside + 0.15 * (most - inside)) brighter.push_back(v);
    const double muscle = brighter.empty() ? most : quantile(std::move(brighter), 0.25);
    // Fat that outshines muscle was not suppressed, nor muscle brightened by an agent, which brightens the uvea more.
    constexpr double outshines = 2.1;
    if (most > outshines * muscle) return {{0.9 * muscle, std::max(0.35 * muscle, 0.05 * brightest)}, sclera};
    return {{1.2 * muscle, std::max(0.5 * muscle, 0.05 * brightest)}, {0.15 * brightest, 0.04 * brightest}};
}

/// Every other ray: those that nothing hides, if they are enough.
std::vector<const WallRay*> telling(const std::vector<WallRay>& rays) {
    constexpr std::size_t enough = 30;
    std::vector<const WallRay*> all, plain;
    for (std::size_t i = 0; i < rays.size(); i += 2) {
        all.push_back(&rays[i]);
        if (!rays[i].hidden) plain.push_back(&rays[i]);
    }
    return plain.size() < enough ? all : plain;
}

/// Steps beyond the outer face of which the layers speak.
int steps_told(double beyond_mm, double blur_mm) { return static_cast<int>(std::lround((beyond_mm + blur_mm) / step)); }

}  // namespace

double WallMisfit::at(double uvea, double sclera) const {
    return std::max(0.0, whole - 2.0 * (u * uvea + s * sclera) + uu * uvea * uvea + 2.0 * us * uvea * sclera + ss * sclera * sclera);
}

WallCourse::WallCourse(const WallRay& ray, const WallLook& look) : ray_(ray) {
    // Variance of a voxel's own blur with interpolation, as a share of its squared length: less than a box and a triangle have, for samples of MR are sharper than boxes.
    constexpr double voxel_share = 0.12;
    const double blur = std::sqrt(look.blur_mm * look.blur_mm + voxel_share * ray.voxel_mm * ray.voxel_mm), scleral = ray.sclera_mm * look.thickness, whole = scleral + uvea_mm * look.thickness;
    blur_ = blur;
    last_ = std::min(most_outwards, steps_told(layers_mm.back() + told_beyond_layer_mm, blur));
    first_ = std::clamp(static_cast<int>(std::floor(-(whole + BlurredStepTable::reach * blur) / step)), -most_inwards, last_);
    for (int k = first_; k <= last_; ++k) {
        const double behind_sclera = blurred_step(k * step + scleral, blur), behind_uvea = blurred_step(k * step + whole, blur), beyond = blurred_step(k * step, blur);
        const double variance = ray.uneven_contents * ray.uneven_contents + std::pow(ray.uneven_beyond * behind_uvea, 2);
        const auto at = static_cast<std::size_t>(k + most_inwards);
        layers_[at] = {behind_uvea - behind_sclera, behind_sclera - beyond, beyond, 1.0 / variance, 0.5 * std::log(variance)};
        for (std::size_t i = 0; i < layers_mm.size(); ++i) beyond_layer_[i][at] = std::min(beyond, blurred_step(k * step - layers_mm[i], blur));
    }
    sum_[0] = squares_[0] = 0.0;
    for (std::size_t k = 0; k < ray.signal.size(); ++k) sum_[k + 1] = sum_[k] + ray.signal[k], squares_[k + 1] = squares_[k] + ray.signal[k] * ray.signal[k];
}

WallMisfit WallCourse::misfit(int place, double told_beyond_mm) const {
    // Sums of products: c contents, b beyond, u uvea, s sclera, v the signal.
    double cb = 0, bb = 0, cu = 0, bu = 0, cs = 0, bs = 0, bv = 0, uu = 0, us = 0, ss = 0, uv = 0, sv = 0;
    const int end = std::min(WallRay::count - 1, WallRay::inwards + place + std::min(last_, steps_told(told_beyond_mm, blur_))), mixed = std::clamp(WallRay::inwards + place + first_, 0, end + 1);
    // Before these lies nothing but contents.
    const double variance = ray_.uneven_contents * ray_.uneven_contents;
    double cc = mixed / variance, cv = sum_[static_cast<std::size_t>(mixed)] / variance, vv = squares_[static_cast<std::size_t>(mixed)] / variance, doubt = 0.5 * std::log(variance) * mixed;
    for (int k = mixed; k <= end; ++k) {
        const Layers& of = layers_[static_cast<std::size_t>(k - WallRay::inwards - place + most_inwards)];
        const double b = of.beyond, u = of.uvea, s = of.sclera, c = 1.0 - b - u - s, v = ray_.signal[static_cast<std::size_t>(k)];
        const double wc = of.weight * c, wb = of.weight * b, wu = of.weight * u, ws = of.weight * s;
        cc += wc * c, cb += wc * b, bb += wb * b, cu += wc * u, bu += wb * u, cs += wc * s, bs += wb * s, cv += wc * v, bv += wb * v, vv += of.weight * v * v;
        uu += wu * u, us += wu * s, ss += ws * s, uv += wu * v, sv += ws * v;
        doubt += of.doubt;
    }
    // Where the samples end at the outer face nothing tells of what lies beyond.
    constexpr double hold = 1e-9;
    bb += hold * cc;
    const double determinant = cc * bb - cb * cb;
    const auto told = [&](double c1, double b1, double c2, double b2) { return (bb * c1 * c2 - cb * (c1 * b2 + b1 * c2) + cc * b1 * b2) / determinant; };
    return {vv - told(cv, bv, cv, bv), uv - told(cu, bu, cv, bv), sv - told(cs, bs, cv, bv), uu - told(cu, bu, cu, bu), us - told(cu, bu, cs, bs), ss - told(cs, bs, cs, bs), end + 1, doubt};
}

WallMisfit WallCourse::misfit_with_layer(int place, std::size_t layer) const {
    // Contents, the layer, what lies beyond it, uvea, sclera; the signal.
    constexpr std::size_t anything = 3, all = 6, signal = 5;
    double sums[all][all] = {};
    const int outer = WallRay::inwards + place;
    const int end = std::min(WallRay::count - 1, outer + std::min(last_, steps_told(layers_mm[layer] + told_beyond_layer_mm, blur_))), mixed = std::clamp(outer + first_, 0, end + 1);
    const double variance = ray_.uneven_contents * ray_.uneven_contents;
    double doubt = 0.5 * std::log(variance) * mixed;
    sums[0][0] = mixed / variance, sums[0][signal] = sum_[static_cast<std::size_t>(mixed)] / variance, sums[signal][signal] = squares_[static_cast<std::size_t>(mixed)] / variance;
    for (int k = mixed; k <= end; ++k) {
        const auto at = static_cast<std::size_t>(k - outer + most_inwards);
        const Layers& of = layers_[at];
        const double far = beyond_layer_[layer][at];
        const std::array<double, all> parts{1.0 - of.beyond - of.uvea - of.sclera, of.beyond - far, far, of.uvea, of.sclera, ray_.signal[static_cast<std::size_t>(k)]};
        for (std::size_t r = 0; r < all; ++r)
            for (std::size_t c = r; c < all; ++c) sums[r][c] += of.weight * parts[r] * parts[c];
        doubt += of.doubt;
    }
    // Where the samples end before it nothing tells of a part.
    constexpr double hold = 1e-6;
    for (std::size_t r = 1; r < anything; ++r) sums[r][r] += hold * sums[0][0];
    for (std::size_t pivot = 0; pivot < anything; ++pivot)
        for (std::size_t r = pivot + 1; r < all; ++r) {
            const double share = sums[pivot][r] / sums[pivot][pivot];
            for (std::size_t c = r; c < all; ++c) sums[r][c] -= share * sums[pivot][c];
        }
    return {sums[5][5], sums[3][5], sums[4][5], sums[3][3], sums[3][4], sums[4][4], end + 1, doubt};
}

namespace {

struct FittedLook {
    WallLook look;
    double misfit;
};

/// The signals of uvea and sclera that leave least of the rays, thickness and blur given.
class LookFit {
public:
    LookFit(std::vector<const WallRay*> rays, WallGuess guessed, Modality modality)
        : rays_(std::move(rays)), guessed_(guessed), ct_(modality == Modality::ct), uvea_told_(1.0 / (guessed.uvea.spread * guessed.uvea.spread)), sclera_told_(1.0 / (guessed.sclera.spread * guessed.sclera.spread)) {}
    [[nodiscard]] FittedLook at(double thickness, double blur_mm) const {
        WallLook look{blur_mm, guessed_.uvea.mean, guessed_.sclera.mean, thickness};
        std::vector<double> left;
        // The signals move the places that suit, and these the signals: twice is enough.
        for (int round = 0; round < 2; ++round) left = refine(look);
        // Walls differ in thickness from person to person by some 15 %: assumed. It counts little against what thousands of samples say.
        constexpr double walls_differ = 0.15, counts = 0.05;
        return {look, quantile(std::move(left), 0.5) + counts * std::pow((thickness - 1.0) / walls_differ, 2)};
    }

private:
    /// What each ray leaves by the look so far.
    std::vector<double> refine(WallLook& look) const {
        constexpr double err_together = 40.0;   // rays, in what is common to them: assumed
        double u = guessed_.uvea.mean * uvea_told_, s = guessed_.sclera.mean * sclera_told_, uu = uvea_told_, us = 0.0, ss = sclera_told_;
        std::vector<double> left;
        for (const WallRay* ray : rays_) {
            const WallCourse course(*ray, look);
            double fewest = std::numeric_limits<double>::infinity();
            WallMisfit suits{};
            for (int place = -4; place <= 4; ++place) {
                const WallMisfit here = course.misfit(place);
                if (const double each = here.at(look.uvea, look.sclera) / here.samples; each < fewest) fewest = each, suits = here;
            }
            left.push_back(fewest);
            const double weight = 2.0 / (err_together * (1.0 + fewest));
            u += weight * suits.u, s += weight * suits.s, uu += weight * suits.uu, us += weight * suits.us, ss += weight * suits.ss;
        }
        const double determinant = uu * ss - us * us;
        look.uvea = (ss * u - us * s) / determinant, look.sclera = (uu * s - us * u) / determinant;
        if (!ct_ && look.sclera < 0.0) look.sclera = 0.0, look.uvea = u / uu;
        return left;
    }

    std::vector<const WallRay*> rays_;
    WallGuess guessed_;
    bool ct_;
    double uvea_told_, sclera_told_;
};

}  // namespace

WallLook wall_look(const std::vector<WallRay>& rays, Modality modality) {
    constexpr std::array<double, 6> blurs_mm{0.1, 0.25, 0.4, 0.55, 0.7, 0.9};
    const LookFit fit(telling(rays), guess(rays, modality), modality);
    FittedLook best = fit.at(1.0, blurs_mm.front());
    const auto try_at = [&](double thickness, double blur_mm) {
        if (const FittedLook tried = fit.at(thickness, blur_mm); tried.misfit < best.misfit) best = tried;
    };
    // Blur and thickness hardly depend on each other.
    for (std::size_t i = 1; i < blurs_mm.size(); ++i) try_at(1.0, blurs_mm[i]);
    for (const double thickness : {0.85, 1.15}) try_at(thickness, best.look.blur_mm);
    if (best.look.thickness == 1.0) return best.look;
    const auto chosen = std::find(blurs_mm.begin(), blurs_mm.end(), best.look.blur_mm);
    const double thickness = best.look.thickness;
    if (chosen != blurs_mm.begin()) try_at(thickness, *(chosen - 1));
    if (chosen + 1 != blurs_mm.end()) try_at(thickness, *(chosen + 1));
    return best.look;
}

}  // namespace perisclera
