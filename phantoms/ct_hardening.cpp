// SPDX-License-Identifier: Apache-2.0
#include "ct_hardening.h"

#include <algorithm>
#include <cmath>

#include "ct_substance.h"
#include "parallel_beam.h"

namespace perisclera::phantoms {

namespace {

constexpr double water_step_cm = 0.25, most_water_cm = 60.0;
// Scatter and the detector's own signal, as a share of the beam before the head: what is left behind metal (common practice, no source).
constexpr double floor_behind_metal = 1e-4;

/// As a detector's width and the kernel do. Streaks finer than the steps between angles would turn into rings.
void soften(Sinogram& rays, double pitch_mm) {
    constexpr double sigma_mm = 0.9;
    const long passes = std::lround(2.0 * sigma_mm * sigma_mm / (pitch_mm * pitch_mm));  // each adds a variance of half a ray
    for (int angle = 0; angle < rays.angles; ++angle)
        for (long pass = 0; pass < passes; ++pass) {
            float* const ray = rays.direction(angle);
            float before = 0.0f;
            for (int i = 0; i + 1 < rays.bins; ++i) {
                const float here = ray[i];
                ray[i] = 0.25f * before + 0.5f * here + 0.25f * ray[i + 1];
                before = here;
            }
        }
}

}  // namespace

CtHardening::CtHardening(double kvp, const Substance& metal, double bone_share) : bone_share_(bone_share) {
    const Substance water = substances::water(), bone = substances::cortical_bone();
    const CtBeam before_head(kvp, {0.0, 0.0});
    for (const CtBeam::Bin& b : before_head.spectrum())
        bins_.push_back({b.weight, mass_attenuation(water, b.kev) * water.density_g_cm3, mass_attenuation(bone, b.kev) * bone.density_g_cm3,
                         mass_attenuation(metal, b.kev) * metal.density_g_cm3});
    const CtBeam behind_head(kvp);
    bone_as_water_ = behind_head.attenuation_per_cm(bone) / behind_head.attenuation_per_cm(water);
    metal_as_water_ = behind_head.attenuation_per_cm(metal) / behind_head.attenuation_per_cm(water);
    for (double cm = 0.0; cm <= most_water_cm; cm += water_step_cm) log_of_water_.push_back(-std::log(signal(cm, 0.0, 0.0)));
}

double CtHardening::signal(double water_cm, double bone_cm, double metal_cm) const {
    double sum = 0.0;
    for (const Bin& b : bins_) sum += b.weight * std::exp(-b.water * water_cm - b.bone * bone_cm - b.metal * metal_cm);
    return sum;
}

double CtHardening::as_water_cm(double signal) const {
    const double wanted = -std::log(signal);
    const auto above = std::clamp(std::upper_bound(log_of_water_.begin(), log_of_water_.end(), wanted), log_of_water_.begin() + 1, log_of_water_.end() - 1);
    const auto below = above - 1;
    return water_step_cm * (static_cast<double>(below - log_of_water_.begin()) + (wanted - *below) / (*above - *below));
}

double CtHardening::excess_water_cm(double water_cm, double bone_cm, double metal_cm) const {
    const double of_bone = bone_cm > 0.0 ? as_water_cm(signal(water_cm, bone_cm, 0.0)) - water_cm - bone_as_water_ * bone_cm : 0.0;
    if (metal_cm <= 0.0) return bone_share_ * of_bone;
    const double behind_metal = signal(water_cm, bone_cm, metal_cm) + floor_behind_metal;
    const double of_all = as_water_cm(behind_metal) - water_cm - bone_as_water_ * bone_cm - metal_as_water_ * metal_cm;
    return of_all - of_bone + bone_share_ * of_bone;
}

Image CtHardening::error(const PlaneContent& content, int angles) const {
    const Sinogram water = projected(content.water, angles), bone = projected(content.bone, angles), metal = projected(content.metal, angles);
    Sinogram excess(angles, water.bins);
    const double pixel_cm = content.pitch_mm / 10.0;
    for (std::size_t i = 0; i < excess.values.size(); ++i) {
        const auto cm = [&](const Sinogram& s) { return pixel_cm * static_cast<double>(s.values[i]); };
        // The excess is a length; the reconstruction wants it in pixels, and gives a share of water's attenuation.
        excess.values[i] = static_cast<float>(1000.0 * excess_water_cm(cm(water), cm(bone), cm(metal)) / pixel_cm);
    }
    soften(excess, content.pitch_mm);
    return reconstructed(excess, content.water.width);
}

}  // namespace perisclera::phantoms
