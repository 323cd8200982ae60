// SPDX-License-Identifier: Apache-2.0
#include "perisclera/physics/intraocular_fluids.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

struct Row {
    double kvp;
    HuRange hu;
};
// 52 to 63 keV, 58 to 72, 64 to 79, 70 to 82.
constexpr std::array<Row, 4> oil_rows{{{80.0, {127.0, 270.0}}, {100.0, {71.0, 195.0}}, {120.0, {42.0, 139.0}}, {140.0, {30.0, 100.0}}}};

std::string in_words(Fluid f) {
    switch (f) {
        case Fluid::gas: return say("fluid.gas");
        case Fluid::silicone_oil: return say("fluid.silicone_oil");
        case Fluid::vitreous: return say("fluid.vitreous");
        case Fluid::haemorrhage: return say("fluid.blood");
        case Fluid::heavy_liquid: return say("fluid.heavy_liquid");
        case Fluid::other: break;
    }
    return say("fluid.other");
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
    std::vector<std::string> words;
    for (std::size_t k = 0; k < fluid_count; ++k)
        if (fluids.holds(static_cast<Fluid>(k))) words.push_back(in_words(static_cast<Fluid>(k)));
    std::string text;
    for (std::size_t k = 0; k + 1 < words.size(); ++k) text += (k == 0 ? "" : ", ") + words[k];
    return text.empty() ? (words.empty() ? "" : words.back()) : say("fluid.one_of", {{"fluids", text}, {"last", words.back()}});
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
