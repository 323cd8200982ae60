// SPDX-License-Identifier: Apache-2.0
#include "mr_tissue.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "globe_shape.h"

namespace perisclera::phantoms {

namespace {

struct Properties {
    double t1_15, t1_30;    ///< ms, at 1.5 and 3 T
    double t2;              ///< ms
    double t2_star;         ///< ms at 1.5 T, without the fields of neighbouring gas
    double proton_density;  ///< 0: no signal at any echo time used
    double uptake;          ///< contrast agent some minutes after injection, mmol/L
};

// 1.5 T: aqueous, muscle and uvea from Patz 2007 (doi 10.1002/jmri.21017), the lens between its cortex there and its nucleus at 7 T
// (PMC6519255); vitreous between two methods at 7 T quoted there; fat, fluid, grey and white from common tables; the rest common
// practice, for look-alikes assumed. 3 T: T1 longer, T2 alike (Stanisz 2006); single values common practice. T2*: grey and white after
// Peters AM et al., Magn Reson Imaging 2007;25:748, from memory; the rest assumed. Uptake: none behind the barriers of brain, nerve and eye; values assumed.
constexpr std::array<Properties, tissue_count> table{{
    {1, 1, 1, 1, 0, 0},                    // air
    {950, 1100, 30, 15, 0.65, 0.20},       // skin
    {250, 370, 70, 40, 0.95, 0.03},        // fat: triolein has 0.95 of water's protons by volume (calculated)
    {1500, 1600, 41, 30, 0.80, 0.30},      // muscle
    {1100, 1250, 50, 30, 0.80, 0.20},      // lid
    {900, 1100, 80, 40, 0.85, 0.40},       // gland
    {1400, 1600, 10, 8, 0.15, 0.60},       // vessel: flowing blood is dark
    {780, 1000, 85, 60, 0.72, 0},          // nerve
    {4300, 4400, 2100, 500, 1.00, 0},      // fluid
    {1000, 1100, 20, 12, 0.40, 0.40},      // dura
    {1, 1, 1, 1, 0, 0},                    // cortical bone
    {300, 380, 50, 8, 0.40, 0.10},         // spongy bone
    {1300, 1500, 95, 40, 0.85, 0.60},      // mucosa
    {780, 950, 90, 66, 0.70, 0},           // white
    {920, 1400, 100, 84, 0.82, 0},         // grey
    {1, 1, 1, 1, 0, 0},                    // polyethylene
    {1, 1, 1, 1, 0, 0},                    // titanium
    {1, 1, 1, 1, 0, 0},                    // gold
    {1, 1, 1, 1, 0, 0},                    // platinum
    {1300, 1400, 60, 30, 0.40, 0.30},      // porous polyethylene: the tissue in its pores, which enhances (row 2.18)
    {1300, 1400, 50, 15, 0.50, 0.30},      // porous hydroxyapatite, likewise
    {1, 1, 1, 1, 0, 0},                    // wood, dry
    {1600, 1800, 120, 80, 0.95, 0},        // pus
    {900, 1000, 12, 8, 0.50, 0.10},        // sclera
    {1400, 1500, 25, 15, 0.60, 0},         // cornea
    {1717, 1800, 72, 40, 0.85, 0.50},      // uvea
    {5053, 5053, 450, 300, 1.00, 0},       // aqueous
    {4600, 4600, 450, 300, 1.00, 0},       // vitreous
    {1300, 1400, 28, 20, 0.60, 0},         // lens
    {1, 1, 1, 1, 0, 0},                    // acrylic glass
    {900, 1000, 90, 70, 0.80, 0},          // silicone oil
    {1, 1, 1, 1, 0, 0},                    // gas
    {1, 1, 1, 1, 0, 0},                    // perfluorocarbon: no protons
    {800, 900, 60, 25, 0.90, 0},           // haemorrhage, some days old
    {1, 1, 1, 1, 0, 0},                    // calcified plaque
    {800, 900, 2, 1.5, 0.55, 0},           // silicone loaded with barium: as rubber, see below
    {1, 1, 1, 1, 0, 0},                    // polypropylene
}};

/// Coupled protons of fat stay bright in a train of refocusing pulses (Henkelman RM et al., J Magn Reson Imaging 1992;2:533): apparent T2 of subcutaneous
/// fat at 3 T 41 to 143 ms by sequence, longer in longer trains (Pai A et al., Magn Reson Imaging 2008;26:1215, PMC2849643). Trains here are long.
constexpr double fat_t2_in_a_train = 143.0;

// Methyl protons of silicone rubber lose phase in milliseconds, over several exponentials: visible up to echo times of 4 ms, dark from
// some 10 ms on at 1.5 T ("Artifacts in MR imaging due to ventilation tubes"). Two exponentials that do so; shares and times assumed.
struct Exponential {
    double share, t2_ms;
};
constexpr std::array<Exponential, 2> silicone_rubber{{{0.7, 1.2}, {0.3, 4.0}}};
constexpr double rubber_t1 = 800.0, rubber_density = 0.60;  // six protons in 74 g, a part of it filler without any; T1 assumed

double shift_ppm(Tissue tissue) {
    if (tissue == Tissue::fat || tissue == Tissue::spongy_bone) return fat_shift_ppm();
    return tissue == Tissue::silicone_oil || tissue == Tissue::loaded_silicone ? silicone_shift_ppm() : 0.0;
}

/// Against tissue's -9.05 ppm. Bone -8.86, titanium 182: the source of gas_susceptibility_ppm (row 5.17 of the table of reference values). Gold -34, platinum
/// 279: Schenck JF, Med Phys 1996;23:815-850, from memory. Wood by the air in its density, 0.59 of 1.5 g/cm3. Perfluorocarbon and plastics count as tissue.
double susceptibility_ppm(Tissue tissue) {
    switch (tissue) {
        case Tissue::air:
        case Tissue::gas: return gas_susceptibility_ppm();
        case Tissue::cortical_bone:
        case Tissue::spongy_bone:
        case Tissue::plaque:
        case Tissue::hydroxyapatite: return 9.05 - 8.86;
        case Tissue::titanium: return 182.0 + 9.05;
        case Tissue::gold: return -34.0 + 9.05;
        case Tissue::platinum: return 279.0 + 9.05;
        case Tissue::wood: return 0.61 * gas_susceptibility_ppm();
        default: return 0.0;
    }
}

/// Gas in a sponge, by volume, from its CT number between gas and rubber of 200 HU.
double gas_share(const Element& sponge) { return std::clamp((200.0 - sponge.hu_at_120_kvp) / 1200.0, 0.0, 1.0); }

double rubber_signal(double share, const MrSetting& setting) {
    double sum = 0.0;
    for (const Exponential& e : silicone_rubber) sum += mr_signal({rubber_t1, e.t2_ms, rubber_density * e.share}, setting);
    return share * sum;
}

}  // namespace

double fat_shift_ppm() { return -3.4; }        // 220 Hz at 1.5 T
double silicone_shift_ppm() { return -4.65; }  // methyl at silicon, 1.2 ppm below fat; calculated
double gas_susceptibility_ppm() { return 0.36 + 9.05; }  // air and soft tissue: McRobbie, Essentials of MRI Safety

Relaxation tissue_relaxation(Tissue tissue, double field_strength_tesla) {
    const Properties& p = table[label(tissue)];
    // A power of the field, as T1 of tissue goes (Bottomley PA et al., Med Phys 1984;11:425). Static dephasing is in proportion to it.
    const double t1 = p.t1_15 * std::pow(field_strength_tesla / 1.5, std::log2(p.t1_30 / p.t1_15));
    return {t1, p.t2, p.proton_density, (1.0 / p.t2_star - 1.0 / p.t2) * field_strength_tesla / 1.5};
}

Relaxation hydrogel_relaxation(double water_fraction, double field_strength_tesla) {
    // Free water, and rates per unit of (1 - w) / w that give T1 near 40 ms and T2 near 3 ms at 10 % water, as measured on
    // a gel of that kind; swollen to 90 % the same rates give T2 near 220 ms.
    const double free_t1 = field_strength_tesla < 2.0 ? 4500.0 : 4600.0;
    constexpr double free_t2 = 1500.0, bound_rate_1 = 2.8e-3, bound_rate_2 = 37e-3;  // per ms
    const double bound = (1.0 - water_fraction) / water_fraction;
    return {1.0 / (1.0 / free_t1 + bound_rate_1 * bound), 1.0 / (1.0 / free_t2 + bound_rate_2 * bound), water_fraction};
}

MrLook mr_look(Tissue tissue, const MrSetting& setting) {
    Relaxation r = tissue_relaxation(tissue, setting.field_strength_tesla);
    if (tissue == Tissue::fat && setting.sequence == MrSequence::spin_echo && setting.train_length > 1) r.t2_ms = fat_t2_in_a_train;
    if (setting.with_contrast_agent) r = with_contrast_agent(r, table[label(tissue)].uptake, setting.field_strength_tesla);
    return {r.proton_density == 0.0 ? 0.0 : stored_units * mr_signal(r, setting), shift_ppm(tissue), susceptibility_ppm(tissue)};
}

MrLook mr_look(const Element& e, const MrSetting& setting) {
    // The susceptibility of solid silicone is taken for tissue's: no measured value could be read.
    constexpr double uptake_by_hydrogel = 0.05;  // mild enhancement, one case; assumed
    switch (e.material) {
        case Material::solid_silicone: return {stored_units * rubber_signal(1.0, setting), silicone_shift_ppm(), 0.0};
        case Material::silicone_sponge: {
            const double pores = gas_share(e), rubber = rubber_signal(1.0 - pores, setting);
            if (e.filled_share == 0.0) return {stored_units * rubber, silicone_shift_ppm(), pores * gas_susceptibility_ppm()};
            // A label has one frequency: that of the pus in the pores, which outshines the rubber.
            const double pus = pores * e.filled_share * mr_signal(tissue_relaxation(Tissue::pus, setting.field_strength_tesla), setting);
            return {stored_units * (rubber + pus), 0.0, pores * (1.0 - e.filled_share) * gas_susceptibility_ppm()};
        }
        case Material::hydrogel: {
            Relaxation r = hydrogel_relaxation(e.water_fraction, setting.field_strength_tesla);
            if (setting.with_contrast_agent) r = with_contrast_agent(r, uptake_by_hydrogel * e.water_fraction, setting.field_strength_tesla);
            return {stored_units * mr_signal(r, setting), 0.0, 0.0};
        }
        // No signal; 182 and 178 ppm against tissue's -9.05 (Schenck JF, Med Phys 1996;23:815-850, from memory).
        case Material::titanium: return {0.0, 0.0, 182.0 + 9.05};
        case Material::tantalum: return {0.0, 0.0, 178.0 + 9.05};
    }
    return {};
}

double left_by_fat_saturation(double frequency_ppm) {
    // A pulse about fat's frequency, full within 0.8 ppm and without effect from 2 ppm on: the widths are assumed. What it leaves of fat,
    // among it the protons near water's frequency, is common practice.
    constexpr double left = 0.08;
    return left + (1.0 - left) * smooth_step((std::abs(frequency_ppm - fat_shift_ppm()) - 0.8) / 1.2);
}

}  // namespace perisclera::phantoms
