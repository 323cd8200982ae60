// SPDX-License-Identifier: Apache-2.0
#include "ct_attenuation.h"

#include <xraylib/xraylib.h>

#include <cassert>
#include <map>

namespace perisclera::phantoms {

namespace {

Substance substance_of(const int* atomic_numbers, const double* shares, int count, double density) {
    Substance out{{}, density};
    for (int i = 0; i < count; ++i) out.composition.push_back({atomic_numbers[i], shares[i]});
    return out;
}

}  // namespace

Substance compound(const std::string& formula, double density_g_cm3) {
    compoundData* const parsed = CompoundParser(formula.c_str(), nullptr);
    assert(parsed);  // formulas stand in this program alone
    Substance out = substance_of(parsed->Elements, parsed->massFractions, parsed->nElements, density_g_cm3);
    FreeCompoundData(parsed);
    return out;
}

Substance reference_material(const std::string& name, double density_g_cm3) {
    compoundDataNIST* const found = GetCompoundDataNISTByName(name.c_str(), nullptr);
    assert(found);  // as above
    Substance out = substance_of(found->Elements, found->massFractions, found->nElements, density_g_cm3);
    FreeCompoundDataNIST(found);
    return out;
}

Substance mixture(const Substance& first, const Substance& second, double second_mass_share) {
    std::map<int, double> shares;
    for (const MassShare& m : first.composition) shares[m.atomic_number] += m.share * (1.0 - second_mass_share);
    for (const MassShare& m : second.composition) shares[m.atomic_number] += m.share * second_mass_share;
    Substance out{{}, 1.0 / ((1.0 - second_mass_share) / first.density_g_cm3 + second_mass_share / second.density_g_cm3)};
    for (const auto& [atomic_number, share] : shares) out.composition.push_back({atomic_number, share});
    return out;
}

double mass_attenuation(const Substance& substance, double kev) {
    double sum = 0.0;
    for (const MassShare& m : substance.composition) sum += m.share * CS_Total(m.atomic_number, kev, nullptr);
    return sum;
}

}  // namespace perisclera::phantoms
