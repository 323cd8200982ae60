// SPDX-License-Identifier: Apache-2.0
#include "true_signals.h"

#include <algorithm>
#include <cmath>

#include "phantoms/ct_number.h"
#include "phantoms/mr_tissue.h"

namespace perisclera::material_sweep {

namespace {

using phantoms::Tissue;

phantoms::Element element_of(const BodyKind& kind, double latent) {
    phantoms::Element e{};
    switch (kind.truth) {
        case MaterialClass::solid_silicone: e.material = phantoms::Material::solid_silicone; break;
        case MaterialClass::silicone_sponge: e.material = phantoms::Material::silicone_sponge; break;
        default: e.material = phantoms::Material::hydrogel;
    }
    (kind.truth == MaterialClass::hydrogel ? e.water_fraction : e.hu_at_120_kvp) = latent;
    return e;
}

double ct_number(const BodyKind& kind, double latent, double kvp) {
    if (!kind.tissue) return phantoms::element_ct_number(element_of(kind, latent), kvp);
    const phantoms::CtBeam beam(kvp);
    const double dry = phantoms::tissue_ct_number(*kind.tissue, beam);
    return kind.tissue == Tissue::wood ? std::lerp(dry, phantoms::tissue_ct_number(Tissue::fluid, beam), latent) : dry;
}

}  // namespace

std::vector<double> latent_grid(const BodyKind& kind) {
    constexpr int steps = 100;
    const auto [low, high] = latent_range(kind);
    if (low == high) return {low};
    std::vector<double> grid;
    for (int k = 0; k <= steps; ++k) grid.push_back(low + (high - low) * k / steps);
    return grid;
}

const std::vector<double>& TrueSignals::ct_table(const BodyKind& kind, double kvp) {
    auto& table = tables_[{&kind, kvp}];
    if (table.empty())
        for (const double latent : latent_grid(kind)) table.push_back(ct_number(kind, latent, kvp));
    return table;
}

double TrueSignals::ct(const BodyKind& kind, double latent, double kvp) {
    const auto& table = ct_table(kind, kvp);
    const auto [low, high] = latent_range(kind);
    if (table.size() == 1) return table.front();
    const double place = (latent - low) / (high - low) * static_cast<double>(table.size() - 1);
    const auto before = std::min(static_cast<std::size_t>(place), table.size() - 2);
    return std::lerp(table[before], table[before + 1], place - static_cast<double>(before));
}

double ratio_to_vitreous(Tissue tissue, const phantoms::MrSetting& setting) {
    return std::abs(phantoms::mr_look(tissue, setting).signal / phantoms::mr_look(Tissue::vitreous, setting).signal);
}

double ratio_to_vitreous(const BodyKind& kind, double latent, const phantoms::MrSetting& setting) {
    if (kind.tissue == Tissue::wood) return latent * ratio_to_vitreous(Tissue::fluid, setting);   // dry wood shows nothing
    if (kind.tissue == Tissue::loaded_silicone) return ratio_to_vitreous(body_kinds().front(), 200.0, setting);   // as rubber
    if (kind.tissue) return ratio_to_vitreous(*kind.tissue, setting);
    return std::abs(phantoms::mr_look(element_of(kind, latent), setting).signal / phantoms::mr_look(Tissue::vitreous, setting).signal);
}

}  // namespace perisclera::material_sweep
