// SPDX-License-Identifier: Apache-2.0
#include "tissue.h"

#include <cmath>

#include "ct_number.h"

namespace perisclera::phantoms {

namespace {

struct Properties {
    double hu_unevenness;
    double t1_15, t1_30, t2;  ///< ms; T1 at 1.5 and 3 T
    double proton_density;    ///< 0: no signal at any echo time used
};

// Relaxation: muscle, aqueous, choroid and lens from Patz 2007 (1.5 T), the rest common textbook values; silicone, cortical bone
// and gas give no signal. Fat's T2 stands for a fast spin echo, where coupled fat stays bright.
constexpr std::array<Properties, tissue_count> table{{
    {0, 1, 1, 1, 0},                     // air
    {6, 950, 1100, 30, 0.65},            // skin
    {8, 250, 370, 95, 0.90},             // fat
    {5, 1500, 1600, 41, 0.80},           // muscle
    {6, 1100, 1250, 50, 0.80},           // lid
    {5, 900, 1100, 80, 0.85},            // gland
    {2, 1400, 1600, 10, 0.15},           // vessel: flowing blood is dark
    {3, 780, 1000, 85, 0.72},            // nerve
    {1, 4300, 4400, 1800, 1.00},         // fluid
    {3, 1000, 1100, 20, 0.40},           // dura
    {90, 1, 1, 1, 0},                    // cortical bone
    {70, 300, 380, 50, 0.40},            // spongy bone
    {4, 1300, 1500, 95, 0.85},           // mucosa
    {1.5, 780, 950, 88, 0.70},           // white
    {1.5, 920, 1400, 100, 0.82},         // grey
    {2, 900, 1000, 12, 0.50},            // sclera
    {2, 1400, 1500, 25, 0.60},           // cornea
    {2, 1717, 1800, 72, 0.85},           // uvea
    {0, 4600, 4600, 450, 1.00},          // aqueous
    {0, 4600, 4600, 450, 1.00},          // vitreous
    {3, 1300, 1400, 28, 0.60},           // lens
    {0, 1, 1, 1, 0},                     // lens implant
    {0, 900, 1000, 90, 0.80},            // silicone oil
    {0, 1, 1, 1, 0},                     // gas
}};

constexpr double stored_units = 2000.0;
constexpr double mr_unevenness = 0.05;      // of a solid tissue's signal
constexpr double fat_left_unsuppressed = 0.08;

}  // namespace

Relaxation hydrogel_relaxation(double water_fraction, double field_strength_tesla) {
    // Free water, and rates per unit of (1 - w) / w that give T1 near 40 ms and T2 near 3 ms at 10 % water, as measured on
    // a gel of that kind; swollen to 90 % the same rates give T2 near 220 ms.
    const double free_t1 = field_strength_tesla < 2.0 ? 4500.0 : 4600.0;
    constexpr double free_t2 = 1500.0, bound_rate_1 = 2.8e-3, bound_rate_2 = 37e-3;  // per ms
    const double bound = (1.0 - water_fraction) / water_fraction;
    return {1.0 / (1.0 / free_t1 + bound_rate_1 * bound), 1.0 / (1.0 / free_t2 + bound_rate_2 * bound), water_fraction};
}

double spin_echo_signal(const Relaxation& r, double repetition_ms, double echo_ms, std::optional<double> inversion_ms) {
    double longitudinal = 1.0 - std::exp(-repetition_ms / r.t1_ms);
    if (inversion_ms) longitudinal = std::abs(1.0 - 2.0 * std::exp(-*inversion_ms / r.t1_ms) + std::exp(-repetition_ms / r.t1_ms));
    return r.proton_density * longitudinal * std::exp(-echo_ms / r.t2_ms);
}

Appearance appearance(const Series& series, const std::array<EyeState, 2>& eyes) {
    Appearance out;
    const auto add = [&](double value, double unevenness) {
        out.value.push_back(static_cast<float>(value));
        out.unevenness.push_back(static_cast<float>(unevenness));
    };
    const auto signal = [&](const Relaxation& r) {
        return r.proton_density == 0.0 ? 0.0 : stored_units * spin_echo_signal(r, series.repetition_time_ms, series.echo_time_ms, series.inversion_time_ms);
    };
    const std::optional<CtBeam> beam = series.is_ct() ? std::optional(CtBeam(series.kvp)) : std::nullopt;
    for (std::size_t i = 0; i < tissue_count; ++i) {
        const Properties& p = table[i];
        if (beam) {
            add(tissue_ct_number(static_cast<Tissue>(i), *beam), p.hu_unevenness);
            continue;
        }
        double s = signal({series.field_strength_tesla < 2.0 ? p.t1_15 : p.t1_30, p.t2, p.proton_density});
        if (series.kind == Kind::t2_fatsat && (static_cast<Tissue>(i) == Tissue::fat || static_cast<Tissue>(i) == Tissue::spongy_bone)) s *= fat_left_unsuppressed;
        add(s, p.hu_unevenness > 0.0 ? mr_unevenness * s : 0.0);
    }
    for (const EyeState& eye : eyes)
        for (const Element& e : eye.elements) {
            if (beam)
                add(element_ct_number(e, series.kvp), e.material == Material::silicone_sponge ? 25.0 : 3.0);
            else
                add(e.material == Material::hydrogel ? signal(hydrogel_relaxation(e.water_fraction, series.field_strength_tesla)) : 0.0, 0.0);
        }
    return out;
}

}  // namespace perisclera::phantoms
