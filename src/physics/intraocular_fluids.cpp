// SPDX-License-Identifier: Apache-2.0
#include "perisclera/physics/intraocular_fluids.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace perisclera {

namespace {

struct Row {
    double kvp;
    HuRange hu;
};
// 52 to 63 keV, 58 to 72, 64 to 79, 70 to 82.
constexpr std::array<Row, 4> oil_rows{{{80.0, {127.0, 270.0}}, {100.0, {71.0, 195.0}}, {120.0, {42.0, 139.0}}, {140.0, {30.0, 100.0}}}};

std::string_view word(Fluid f) {
    switch (f) {
        case Fluid::gas: return "gas";
        case Fluid::silicone_oil: return "silicone oil";
        case Fluid::vitreous: return "vitreous or other watery fluid";
        case Fluid::haemorrhage: return "blood";
        case Fluid::heavy_liquid: return "a heavy liquid such as perfluorocarbon";
        case Fluid::other: return "something else";
    }
    return "something else";
}

}  // namespace

std::string_view name(Fluid fluid) {
    switch (fluid) {
        case Fluid::gas: return "gas";
        case Fluid::silicone_oil: return "silicone_oil";
        case Fluid::vitreous: return "vitreous";
        case Fluid::haemorrhage: return "haemorrhage";
        case Fluid::heavy_liquid: return "heavy_liquid";
        case Fluid::other: return "other";
    }
    return "other";
}

std::string in_words(FluidSet fluids) {
    std::vector<std::string_view> words;
    for (std::size_t k = 0; k < fluid_count; ++k)
        if (fluids.holds(static_cast<Fluid>(k))) words.push_back(word(static_cast<Fluid>(k)));
    std::string text;
    for (std::size_t k = 0; k < words.size(); ++k) text += (k == 0 ? "" : k + 1 == words.size() ? " or " : ", ") + std::string(words[k]);
    return text;
}

HuRange silicone_oil_hu(double kvp) {
    if (kvp <= oil_rows.front().kvp) return oil_rows.front().hu;
    for (std::size_t k = 1; k < oil_rows.size(); ++k) {
        const Row &a = oil_rows[k - 1], &b = oil_rows[k];
        if (kvp > b.kvp) continue;
        const double t = (kvp - a.kvp) / (b.kvp - a.kvp);
        return {std::lerp(a.hu.low, b.hu.low, t), std::lerp(a.hu.high, b.hu.high, t)};
    }
    return oil_rows.back().hu;
}

HuRange watery_hu() { return {-15.0, 22.0}; }
HuRange blood_hu() { return {30.0, 85.0}; }
HuRange gas_hu() { return {-1100.0, -400.0}; }
HuRange heavy_liquid_hu() { return {450.0, 900.0}; }

}  // namespace perisclera
