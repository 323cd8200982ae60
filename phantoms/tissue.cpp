// SPDX-License-Identifier: Apache-2.0
#include "tissue.h"

#include <algorithm>
#include <cmath>

#include "mr_tissue.h"

namespace perisclera::phantoms {

namespace {

struct Properties {
    double hu, hu_unevenness;
};

// CT numbers at 120 kVp: common textbook ranges.
constexpr std::array<Properties, tissue_count> table{{
    {-1000, 0},     // air
    {40, 6},        // skin
    {-100, 8},      // fat
    {45, 5},        // muscle
    {25, 6},        // lid
    {42, 5},        // gland
    {48, 2},        // vessel: flowing blood is dark
    {35, 3},        // nerve
    {8, 1},         // fluid
    {45, 3},        // dura
    {900, 90},      // cortical bone
    {350, 70},      // spongy bone
    {40, 4},        // mucosa
    {30, 1.5},      // white
    {38, 1.5},      // grey
    {50, 2},        // sclera
    {50, 2},        // cornea
    {45, 2},        // uvea
    {10, 0},        // aqueous
    {8, 0},         // vitreous
    {80, 3},        // lens
    {115, 0},       // lens implant
    {100, 0},       // silicone oil
    {-990, 0},      // gas
}};

constexpr double mr_unevenness = 0.05;  // of a solid tissue's signal

/// Linear between the given points, constant beyond.
template <std::size_t N>
double between(const std::array<std::array<double, 2>, N>& points, double x) {
    if (x <= points.front()[0]) return points.front()[1];
    for (std::size_t i = 1; i < N; ++i)
        if (x <= points[i][0]) return std::lerp(points[i - 1][1], points[i][1], (x - points[i - 1][0]) / (points[i][0] - points[i - 1][0]));
    return points.back()[1];
}

/// CT number at this tube voltage over that at 120 kV. Silicone: one silicone rubber measured at four voltages (PMC7573067).
double silicone_factor(double kvp) { return between<4>({{{80, 1.6}, {100, 1.15}, {120, 1.0}, {140, 0.95}}}, kvp); }
double bone_factor(double kvp) { return between<4>({{{80, 1.35}, {100, 1.13}, {120, 1.0}, {140, 0.93}}}, kvp); }  // common practice
double fat_factor(double kvp) { return between<4>({{{80, 1.18}, {100, 1.07}, {120, 1.0}, {140, 0.96}}}, kvp); }   // common practice

double tissue_hu(Tissue tissue, double kvp) {
    const double hu = table[label(tissue)].hu;
    switch (tissue) {
        case Tissue::cortical_bone:
        case Tissue::spongy_bone: return hu * bone_factor(kvp);
        case Tissue::fat: return hu * fat_factor(kvp);
        case Tissue::silicone_oil: return hu * silicone_factor(kvp);
        default: return hu;
    }
}

double element_hu(const Element& e, double kvp) {
    switch (e.material) {
        case Material::solid_silicone: return e.hu_at_120_kvp * silicone_factor(kvp);
        case Material::silicone_sponge: return e.hu_at_120_kvp;  // nearly all gas, which does not change
        case Material::hydrogel: return hydrogel_hu(e.water_fraction);
    }
    return 0.0;
}

}  // namespace

double hydrogel_hu(double water_fraction) {
    return between<7>({{{0.15, 149}, {0.30, 121}, {0.50, 86}, {0.70, 54}, {0.80, 38}, {0.90, 24}, {0.95, 17}}}, water_fraction);
}

Appearance appearance(const Series& series, const std::array<EyeState, 2>& eyes) {
    Appearance out;
    const auto add = [&](double value, double unevenness) {
        out.value.push_back(static_cast<float>(value));
        out.unevenness.push_back(static_cast<float>(unevenness));
    };
    const auto add_mr = [&](const MrLook& look, double unevenness) {
        add(look.signal, unevenness * std::abs(look.signal));
        out.shift_ppm.push_back(static_cast<float>(look.shift_ppm));
        out.susceptibility_ppm.push_back(static_cast<float>(look.susceptibility_ppm));
    };
    for (std::size_t i = 0; i < tissue_count; ++i) {
        const Properties& p = table[i];
        const auto tissue = static_cast<Tissue>(i);
        if (series.is_ct())
            add(tissue_hu(tissue, series.kvp), p.hu_unevenness);
        else
            add_mr(mr_look(tissue, series.mr), p.hu_unevenness > 0.0 ? mr_unevenness : 0.0);
    }
    for (const EyeState& eye : eyes)
        for (const Element& e : eye.elements) {
            if (series.is_ct())
                add(element_hu(e, series.kvp), e.material == Material::silicone_sponge ? 25.0 : 3.0);
            else
                add_mr(mr_look(e, series.mr), 0.0);
        }
    return out;
}

}  // namespace perisclera::phantoms
