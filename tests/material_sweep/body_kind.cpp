// SPDX-License-Identifier: Apache-2.0
#include "body_kind.h"

#include <cmath>

namespace perisclera::material_sweep {

namespace {

using enum MaterialClass;
using phantoms::Tissue;

// What is sewn on dents the wall or lies on it; what grows there lies on it; what came through the lids lies anywhere near (assumed).
constexpr Expected sewn_on{-0.65, 0.30}, on_the_wall{0.0, 0.40}, near_the_wall{1.0, 0.80};

double bell(double x, double mean, double spread) { return std::exp(-0.5 * (x - mean) * (x - mean) / (spread * spread)); }
bool between(double x, double low, double high) { return low <= x && x <= high; }

}  // namespace

const std::vector<BodyKind>& body_kinds() {
    static const std::vector<BodyKind> kinds{
        {"solid silicone", solid_silicone, 0.4, {0.6, 1.0}, {12.0, 12.0}, sewn_on},   // bands, tires, rods
        {"solid silicone", solid_silicone, 0.4, {1.5, 2.75}, {2.0, 12.0}, sewn_on},
        {"solid silicone", solid_silicone, 0.2, {2.0, 4.0}, {2.0, 5.0}, sewn_on},
        {"sponge", silicone_sponge, 1.0, {2.5, 5.5}, {1.0, 4.5}, sewn_on},
        {"hydrogel", hydrogel, 1.0, {3.0, 8.0}, {2.0, 4.5}, sewn_on},
        {"cyst", other, 0.14, {2.0, 4.0}, {0.8, 1.6}, on_the_wall, Tissue::fluid, 6.0, 0.15},
        {"soft tissue", other, 0.20, {2.0, 6.0}, {1.0, 3.0}, on_the_wall, Tissue::muscle, 10.0, 0.15},
        {"abscess", other, 0.14, {2.5, 5.0}, {1.0, 3.0}, near_the_wall, Tissue::pus, 10.0, 0.15},
        {"wood_splinter", other, 0.12, {1.5, 3.5}, {0.3, 2.0}, near_the_wall, Tissue::wood, 40.0, 0.15},
        {"scleral_plaque", other, 0.10, {0.6, 1.5}, {0.7, 1.2}, on_the_wall, Tissue::plaque, 150.0, 0.0},
        {"fracture_plate", other, 0.08, {0.8, 1.5}, {2.0, 4.0}, near_the_wall, Tissue::polyethylene, 20.0, 0.0},
        {"drainage_device", other, 0.06, {0.8, 1.6}, {1.8, 2.6}, on_the_wall, Tissue::loaded_silicone, 100.0, 0.0},
        {"drainage_device", other, 0.04, {0.8, 1.6}, {1.8, 2.6}, on_the_wall, Tissue::polypropylene, 20.0, 0.0},
        {"oil_pocket", other, 0.12, {2.0, 4.0}, {0.8, 1.6}, on_the_wall, Tissue::silicone_oil, 5.0, 0.15},
    };
    return kinds;
}

std::array<double, 2> latent_range(const BodyKind& kind) {
    switch (kind.truth) {
        case solid_silicone: return {100.0, 300.0};
        case silicone_sponge: return {-740.0, -390.0};
        case hydrogel: return {0.15, 0.95};
        case other: break;
    }
    return {0.0, kind.tissue == Tissue::wood ? 0.6 : 0.0};
}

double latent_density(const BodyKind& kind, double value, bool outside) {
    const auto [low, high] = latent_range(kind);
    if (!between(value, low, high)) return 0.0;
    if (kind.truth == solid_silicone) {
        if (outside) return between(value, 100.0, 125.0) || between(value, 255.0, 300.0) ? 1.0 : 0.0;
        return between(value, 112.0, 271.0) ? bell(value, 191.0, 45.0) : 0.0;   // 13 rubbers: J Digit Imaging 2020, doi 10.1007/s10278-020-00358-6
    }
    if (kind.truth == silicone_sponge) return outside ? (between(value, -650.0, -480.0) ? 0.0 : 1.0) : bell(value, -560.0, 80.0);
    return 1.0;
}

}  // namespace perisclera::material_sweep
