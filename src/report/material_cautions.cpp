// SPDX-License-Identifier: Apache-2.0
#include "src/report/material_cautions.h"

#include <algorithm>

#include "perisclera/core/text.h"

namespace perisclera::report {

bool not_excluded(const MaterialEntry& material, Material which) {
    return material.label == which || std::find(material.candidates.begin(), material.candidates.end(), which) != material.candidates.end();
}

std::vector<MaterialCaution> material_cautions(const EyeEntry& eye, const ElementEntry& element) {
    const MaterialEntry& material = element.material;
    // Without evidence the order of the candidates says nothing.
    const bool likeliest_none = !material.evidence.empty() && !material.candidates.empty() && material.candidates.front() == Material::other;
    std::vector<MaterialCaution> out;
    const auto add = [&](bool holds, MaterialCaution caution) {
        if (holds) out.push_back(caution);
    };
    const bool fluid_or_rim = eye.inflammation_signs.collection == Sign::seen || eye.inflammation_signs.rim_enhancement == Sign::seen;
    add(fluid_or_rim || not_excluded(material, Material::hydrogel) || not_excluded(material, Material::silicone_sponge), MaterialCaution::infection_not_excluded);
    add(material.label == Material::other || (!material.label && likeliest_none), MaterialCaution::tumour_or_abscess_not_excluded);
    add(eye.inflammation_signs.gas_outside_element == Sign::seen, MaterialCaution::gas_outside_element);
    add(material.outside_table, MaterialCaution::outside_table);
    add(material.water_disagrees, MaterialCaution::water_disagrees);
    add(apart(material.water_fraction, material.water_by_swelling), MaterialCaution::swelling_disagrees);
    add(material.growth_without_water, MaterialCaution::growth_without_water);
    return out;
}

std::string in_words(MaterialCaution caution, const MaterialEntry& material) {
    switch (caution) {
        case MaterialCaution::infection_not_excluded: return say("material_caution.infection_not_excluded");
        case MaterialCaution::tumour_or_abscess_not_excluded: return say(material.label ? "material_caution.no_explant_material" : "material_caution.may_be_no_explant");
        case MaterialCaution::gas_outside_element:
            return say(not_excluded(material, Material::silicone_sponge) ? "material_caution.gas_beside_sponge" : "material_caution.gas_outside_element");
        case MaterialCaution::outside_table: return say("material_caution.outside_table");
        case MaterialCaution::water_disagrees: return say("material_caution.water_disagrees");
        case MaterialCaution::swelling_disagrees: return say("material_caution.swelling_disagrees");
        case MaterialCaution::growth_without_water: break;
    }
    return say("material_caution.growth_without_water");
}

}  // namespace perisclera::report
