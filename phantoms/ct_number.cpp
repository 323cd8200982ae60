// SPDX-License-Identifier: Apache-2.0
#include "ct_number.h"

#include <algorithm>

#include "ct_substance.h"

namespace perisclera::phantoms {

namespace {

constexpr double kvp_of_scenarios = 120.0;  // the voltage that a scenario's CT numbers of silicones refer to
// Where the extended scale ends. Through gold and platinum no beam comes that could show more; counted as no denser than this they leave streaks as
// weaker metal does.
constexpr double highest_ct_number = 30710.0;
constexpr double silica_share_of_sponge = 0.2;  // of the rubber's mass; it changes a sponge's CT number by less than 5 HU

Substance substance_of(Tissue tissue) {
    using namespace substances;
    switch (tissue) {
        case Tissue::skin: return skin();
        case Tissue::fat: return adipose();
        case Tissue::muscle: return muscle();
        case Tissue::lid: return eyelid();
        case Tissue::gland:
        case Tissue::mucosa: return soft_tissue();
        case Tissue::vessel: return blood();
        case Tissue::nerve:
        case Tissue::white: return white_matter();
        case Tissue::grey: return grey_matter();
        case Tissue::dura: return optic_sheath();
        case Tissue::cortical_bone: return cortical_bone();
        case Tissue::spongy_bone: return spongy_bone();
        case Tissue::sclera: return sclera();
        case Tissue::cornea: return cornea();
        case Tissue::uvea: return uvea();
        case Tissue::fluid:
        case Tissue::aqueous:
        case Tissue::vitreous: return tissue_fluid();
        case Tissue::lens: return lens();
        case Tissue::acrylic: return acrylic_glass();
        case Tissue::silicone_oil: return silicone_oil();
        case Tissue::gas: return tamponade_gas();
        case Tissue::perfluorocarbon: return perfluoro_octane();
        case Tissue::haemorrhage: return blood();
        case Tissue::plaque: return calcified_plaque();
        case Tissue::loaded_silicone: return barium_silicone();
        case Tissue::polypropylene: return polypropylene();
        case Tissue::polyethylene: return polyethylene();
        case Tissue::titanium: return titanium();
        case Tissue::gold: return gold();
        case Tissue::platinum: return platinum();
        case Tissue::porous_polyethylene: return porous_polyethylene();
        case Tissue::hydroxyapatite: return porous_hydroxyapatite();
        case Tissue::wood: return wood();
        case Tissue::pus: return pus();
        case Tissue::air:
        case Tissue::count: break;
    }
    return air();
}

/// CT numbers of two materials; that of their mixture lies between them by the volumes' shares, at any voltage.
struct Pair {
    double first, second;
    [[nodiscard]] double share_of_second(double wanted) const { return (wanted - first) / (second - first); }
    [[nodiscard]] double mixed(double second_share) const { return first + second_share * (second - first); }
};

double silicone_ct_number(const Substance& rubber, const Substance& filler, double hu_at_120_kvp, double kvp) {
    const auto seen_at = [&](double voltage) {
        const CtBeam beam(voltage);
        return Pair{beam.ct_number(rubber), beam.ct_number(filler)};
    };
    return seen_at(kvp).mixed(seen_at(kvp_of_scenarios).share_of_second(hu_at_120_kvp));
}

/// Attenuation adds up by volume, and so do CT numbers: what fills a share of the pores takes the place of as much gas.
double sponge_ct_number(const Element& sponge, double kvp) {
    using namespace substances;
    const Substance rubber = mixture(silicone_rubber(), silica(), silica_share_of_sponge);
    const double dry = silicone_ct_number(rubber, air(), sponge.hu_at_120_kvp, kvp);
    if (sponge.filled_share == 0.0) return dry;
    const CtBeam usual(kvp_of_scenarios), beam(kvp);
    const double pores = Pair{usual.ct_number(rubber), usual.ct_number(air())}.share_of_second(sponge.hu_at_120_kvp);
    return dry + pores * sponge.filled_share * (beam.ct_number(pus()) - beam.ct_number(air()));
}

}  // namespace

double tissue_ct_number(Tissue tissue, const CtBeam& beam) { return std::min(beam.ct_number(substance_of(tissue)), highest_ct_number); }

double element_ct_number(const Element& element, double kvp) {
    using namespace substances;
    switch (element.material) {
        case Material::solid_silicone: {
            const Substance rubber = silicone_rubber();
            const bool filled = element.hu_at_120_kvp >= CtBeam(kvp_of_scenarios).ct_number(rubber);
            return silicone_ct_number(rubber, filled ? silica() : air(), element.hu_at_120_kvp, kvp);
        }
        case Material::silicone_sponge: return sponge_ct_number(element, kvp);
        case Material::hydrogel: return CtBeam(kvp).ct_number(hydrogel(element.water_fraction));
        case Material::titanium: return CtBeam(kvp).ct_number(titanium());
        case Material::tantalum: return CtBeam(kvp).ct_number(tantalum());
    }
    return 0.0;
}

}  // namespace perisclera::phantoms
