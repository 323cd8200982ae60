// SPDX-License-Identifier: Apache-2.0
#include "tissue.h"

#include <cmath>

#include "ct_number.h"
#include "mr_tissue.h"

namespace perisclera::phantoms {

namespace {

// Standard deviation of the CT number within a tissue, HU: our choice.
constexpr std::array<double, tissue_count> ct_unevenness{
    0,      // air
    6,      // skin
    8,      // fat
    5,      // muscle
    6,      // lid
    5,      // gland
    2,      // vessel
    3,      // nerve
    1,      // fluid
    3,      // dura
    90,     // cortical bone
    70,     // spongy bone
    4,      // mucosa
    1.5,    // white
    1.5,    // grey
    0,      // polyethylene
    0,      // titanium
    0,      // gold
    0,      // platinum
    8,      // porous polyethylene, grown through
    60,     // porous hydroxyapatite, grown through
    25,     // wood
    2,      // pus
    2,      // sclera
    2,      // cornea
    2,      // uvea
    0,      // aqueous
    0,      // vitreous
    3,      // lens
    0,      // acrylic glass: lens implants, prostheses
    0,      // silicone oil
    0,      // gas
    0,      // perfluorocarbon
    3,      // haemorrhage
    60,     // calcified plaque
    3,      // silicone loaded with barium
    0,      // polypropylene
};

constexpr double mr_unevenness = 0.05;  // of a solid tissue's signal

}  // namespace

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
    const std::optional<CtBeam> beam = series.is_ct() ? std::optional(CtBeam(series.kvp)) : std::nullopt;
    for (std::size_t i = 0; i < tissue_count; ++i) {
        const auto tissue = static_cast<Tissue>(i);
        if (beam)
            add(tissue_ct_number(tissue, *beam), ct_unevenness[i]);
        else
            add_mr(mr_look(tissue, series.mr), ct_unevenness[i] > 0.0 ? mr_unevenness : 0.0);
    }
    for (const EyeState& eye : eyes)
        for (const Element& e : eye.elements) {
            if (beam)
                add(element_ct_number(e, series.kvp), e.material == Material::silicone_sponge ? 25.0 : 3.0);
            else
                add_mr(mr_look(e, series.mr), 0.0);
        }
    return out;
}

}  // namespace perisclera::phantoms
