// SPDX-License-Identifier: Apache-2.0
#include "best_opinion.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera::material_sweep {

namespace {

using phantoms::Tissue;

double normal(double x, double mean, double sd) {
    const double z = (x - mean) / sd;
    return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

/// Of a value that lies evenly from low to high and is read with this standard uncertainty.
double even(double x, double low, double high, double sd) {
    const auto below = [&](double at) { return 0.5 * std::erfc((x - at) / (sd * std::numbers::sqrt2)); };
    return low == high ? normal(x, low, sd) : (below(high) - below(low)) / (high - low);
}

struct Ratio {
    const Reading* reading;
    double beside;
    std::vector<double> own;   ///< at each latent
};

/// The integral for one kind, within or outside.
class Integral {
public:
    Integral(const BodyKind& kind, bool outside, const Conditions& c, const std::vector<Reading>& readings, TrueSignals& signals)
        : kind_(kind), c_(c), d_(disorder(outside)), grid_(latent_grid(kind)), hu_(signals.ct_table(kind, c.kvp)) {
        for (const double latent : grid_) {
            const bool met = !(c.mass && kind.truth == MaterialClass::hydrogel) || latent >= wettest_mass_from;
            weight_.push_back(met ? latent_density(kind, latent, outside) : 0.0);
        }
        for (const Reading& r : readings) sort(r);
    }

    double value() {
        constexpr int thicknesses = 16, shares = 8;
        const auto [thinnest, thickest] = thickness_range(kind_, c_);
        double sum = 0.0, all = 0.0;
        for (std::size_t k = 0; k < grid_.size(); ++k) {
            all += weight_[k];
            const double number = weight_[k] * of_number(k);
            if (number <= 0.0) continue;
            double over_geometry = 0.0;
            for (int i = 0; i < thicknesses; ++i) {
                const double t = thinnest + (thickest - thinnest) * (i + 0.5) / thicknesses;
                const double by_thickness = thickness_ ? normal(thickness_->value, t, d_.noise_factor * c_.thickness_uncertainty) : 1.0;
                if (by_thickness < 1e-9) continue;
                for (int j = 0; j < shares; ++j) over_geometry += by_thickness * of_blurred(k, t, (j + 0.5) / shares);
            }
            sum += number * over_geometry / (thicknesses * shares);
        }
        return all > 0.0 ? alone_ * sum / all : 0.0;
    }

private:
    /// What hangs on no latent, thickness or share is a factor; the rest is kept.
    void sort(const Reading& r) {
        switch (r.kind) {
            case EvidenceKind::ct_number: number_ = &r; break;
            case EvidenceKind::ct_peak: peak_ = &r; break;
            case EvidenceKind::t1_ratio: keep_ratio(r, c_.t1); break;
            case EvidenceKind::t2_ratio: keep_ratio(r, c_.t2); break;
            case EvidenceKind::section_thickness: thickness_ = &r; break;
            case EvidenceKind::fits_wall: alone_ *= even(r.value, kind_.span_hours[0], kind_.span_hours[1], d_.noise_factor * span_uncertainty); break;
            case EvidenceKind::off_wall: alone_ *= normal(r.value, kind_.off_wall_mm.mean, std::hypot(kind_.off_wall_mm.spread, d_.noise_factor * c_.wall_uncertainty)); break;
            default: break;
        }
    }

    void keep_ratio(const Reading& r, const phantoms::MrSetting& setting) {
        Ratio ratio{&r, ratio_to_vitreous(Tissue::fat, setting), {}};
        for (const double latent : grid_) ratio.own.push_back(ratio_to_vitreous(kind_, latent, setting));
        ratios_.push_back(std::move(ratio));
    }

    [[nodiscard]] double specimen_spread(std::size_t k) const {
        return kind_.truth == MaterialClass::hydrogel ? d_.polymer_spread * std::abs(hu_[k]) : kind_.hu_spread;
    }

    [[nodiscard]] double of_number(std::size_t k) const {
        const bool bright = hu_[k] > bright_hu;
        if (peak_) return bright ? 1.0 : 0.0;
        if (!number_) return 1.0;
        if (bright && thickness_ && thickness_->value < thin_mm) return 0.0;   // would show a peak
        return normal(number_->value, hu_[k], std::hypot(specimen_spread(k), d_.noise_factor * c_.ct_uncertainty));
    }

    [[nodiscard]] double of_blurred(std::size_t k, double thickness, double share) const {
        double product = 1.0;
        if (peak_) {
            const double seen = std::lerp(least_peak_share, 1.0, share);
            product *= normal(peak_->value, std::lerp(peak_surround_hu, hu_[k], seen), std::hypot(seen * specimen_spread(k), d_.noise_factor * peak_->uncertainty));
        }
        for (const Ratio& ratio : ratios_) {
            const Reading& r = *ratio.reading;
            const double own = ratio.own[k], diluted = share * most_diluted(thickness, c_.slice_mm, r.by_place);
            const double sd = std::hypot((1.0 - diluted) * own * std::hypot(kind_.ratio_spread, d_.gain_spread), d_.noise_factor * c_.ratio_uncertainty);
            const double read = normal(r.value, std::lerp(own, ratio.beside, diluted), sd);
            const double most = highest_misread(r.kind), misread = r.value >= 0.0 && r.value <= most ? 1.0 / most : 0.0;
            product *= r.by_place ? std::lerp(read, misread, d_.misread_share) : read;
        }
        return product;
    }

    const BodyKind& kind_;
    const Conditions& c_;
    Disorder d_;
    std::vector<double> grid_, weight_{};
    const std::vector<double>& hu_;
    const Reading *number_ = nullptr, *peak_ = nullptr, *thickness_ = nullptr;
    std::vector<Ratio> ratios_{};
    double alone_ = 1.0;
};

}  // namespace

double likelihood(const BodyKind& kind, bool outside, const Conditions& conditions, const std::vector<Reading>& readings, TrueSignals& signals) {
    return Integral(kind, outside, conditions, readings, signals).value();
}

PerClass best_opinion(const Conditions& conditions, const std::vector<Reading>& readings, TrueSignals& signals) {
    PerClass met{}, weight{};
    const PerClass shares = class_share(conditions.mass);
    for (const BodyKind& kind : body_kinds()) {
        if (!may_be_met(kind, conditions)) continue;
        const auto m = static_cast<std::size_t>(kind.truth);
        constexpr double outside_share = 1.0 / 3.0;
        met[m] += kind.share;
        weight[m] += kind.share * std::lerp(likelihood(kind, false, conditions, readings, signals), likelihood(kind, true, conditions, readings, signals), outside_share);
    }
    double sum = 0.0;
    for (std::size_t m = 0; m < weight.size(); ++m) sum += weight[m] = met[m] > 0.0 ? shares[m] * weight[m] / met[m] : 0.0;
    for (double& w : weight) w = sum > 0.0 ? w / sum : 0.25;
    return weight;
}

}  // namespace perisclera::material_sweep
