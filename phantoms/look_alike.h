// SPDX-License-Identifier: Apache-2.0
#pragma once
// What lies in or round an eye and is no explant for retinal detachment, but might be taken for one or hide one: as a scenario states it. The keys
// are described in phantoms/README.md. Lengths mm, clock hours as in ClockPosition. Where it lies and what it is made of: globe_look_alike (what lies
// on the globe and turns with it), orbit_look_alike (what lies still in the orbit), eyeless_socket (what stands in a globe's place).
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checked_object.h"

namespace perisclera::phantoms {

enum class LookAlikeKind {
    perfluorocarbon_drop, oil_pocket, scleral_plaque, drainage_device, cyst, collection,  // in the globe or on it
    fracture_plate, eyelid_weight, abscess, wood_splinter,                   // in the orbit
    enlarged_gland, thickened_muscles,                                       // more of what is there anyway
    orbital_sphere, empty_socket                                             // instead of a globe
};
enum class LookAlikeMaterial { silicone, polypropylene, polyethylene, titanium, titanium_mesh, gold, platinum, acrylic, porous_polyethylene, hydroxyapatite };
enum class OrbitWall { floor, medial };

struct LookAlike {
    LookAlikeKind kind;
    std::optional<LookAlikeMaterial> material{};  ///< where there is a choice
    std::optional<double> hour{}, limbus_mm{};    ///< of its middle; none: where it usually lies
    /// Along the limbus, across it, thickness; a plate's: across the orbit, front to back, thickness; an abscess' and a weight's: see phantoms/README.md; a
    /// sphere's or drop's diameter; a splinter's length and diameter.
    std::array<double, 3> size_mm{};
    OrbitWall wall = OrbitWall::floor;
    bool lateral = false;     ///< plaque: before the lateral rectus, else the medial
    double bleb_mm = 0.0;     ///< drainage device: fluid over the plate
    double rim_mm = 0.0;      ///< collection: of the tissue round its pus, which takes up contrast agent
    double shell_mm = 0.0;    ///< orbital sphere: thickness of the prosthesis before it
    double gap_mm = 0.0;      ///< splinter: between it and the globe
    double gas_share = 0.0;   ///< abscess: of its volume
    double factor = 1.0;      ///< gland, muscles: size against the eye's own
    bool operator==(const LookAlike&) const = default;
};

std::string_view name(LookAlikeKind kind);
std::string_view name(LookAlikeMaterial material);
std::string_view name(OrbitWall wall);

/// Notes in `problem` what is wrong, naming the key.
std::vector<LookAlike> read_look_alikes(const JsonValue::List& list, const std::string& path, Problem& problem);

/// Does something stand in the globe's place, or nothing?
bool without_globe(const std::vector<LookAlike>& look_alikes);

}  // namespace perisclera::phantoms
