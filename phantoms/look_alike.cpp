// SPDX-License-Identifier: Apache-2.0
#include "look_alike.h"

#include <algorithm>

namespace perisclera::phantoms {

namespace {

using Kind = LookAlikeKind;
using Stuff = LookAlikeMaterial;

template <class Enum, std::size_t N>
using Words = std::array<std::pair<std::string_view, Enum>, N>;

constexpr Words<Kind, 14> kinds{{{"perfluorocarbon_drop", Kind::perfluorocarbon_drop}, {"oil_pocket", Kind::oil_pocket}, {"scleral_plaque", Kind::scleral_plaque},
                                 {"drainage_device", Kind::drainage_device}, {"cyst", Kind::cyst}, {"collection", Kind::collection}, {"fracture_plate", Kind::fracture_plate},
                                 {"eyelid_weight", Kind::eyelid_weight}, {"abscess", Kind::abscess}, {"wood_splinter", Kind::wood_splinter},
                                 {"enlarged_gland", Kind::enlarged_gland}, {"thickened_muscles", Kind::thickened_muscles},
                                 {"orbital_sphere", Kind::orbital_sphere}, {"empty_socket", Kind::empty_socket}}};
constexpr Words<Stuff, 10> materials{{{"silicone", Stuff::silicone}, {"polypropylene", Stuff::polypropylene}, {"polyethylene", Stuff::polyethylene},
                                      {"titanium", Stuff::titanium}, {"titanium_mesh", Stuff::titanium_mesh}, {"gold", Stuff::gold}, {"platinum", Stuff::platinum},
                                      {"acrylic", Stuff::acrylic}, {"porous_polyethylene", Stuff::porous_polyethylene}, {"hydroxyapatite", Stuff::hydroxyapatite}}};
constexpr Words<Stuff, 2> drainage_materials{{materials[0], materials[1]}};
constexpr Words<Stuff, 3> plate_materials{{materials[2], materials[3], materials[4]}};
constexpr Words<Stuff, 2> weight_materials{{materials[5], materials[6]}};
constexpr Words<Stuff, 3> sphere_materials{{materials[7], materials[8], materials[9]}};
constexpr Words<OrbitWall, 2> walls{{{"floor", OrbitWall::floor}, {"medial", OrbitWall::medial}}};
constexpr Words<bool, 2> muscles{{{"medial", false}, {"lateral", true}}};

template <class Enum, std::size_t N>
std::string_view spelled(const Words<Enum, N>& words, Enum value) {
    return std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.second == value; })->first;
}

std::array<double, 3> sizes(CheckedObject& o, double low, double high, std::array<double, 3> usual) { return o.numbers<3>("size_mm", low, high, usual); }

void read_place(CheckedObject& o, LookAlike& l) {
    l.hour = o.number("hour", 0.0, 12.0);
    l.limbus_mm = o.number("limbus_mm", 0.0, 20.0);
}

// Usual sizes: row of the table of reference values beside each; the rest common practice, no source.
LookAlike read_look_alike(const JsonValue& json, const std::string& path, Problem& problem) {
    CheckedObject o(json, path, problem);
    LookAlike l{o.choice("kind", kinds)};
    switch (l.kind) {
        case Kind::perfluorocarbon_drop: l.size_mm[0] = o.number("diameter_mm", 0.5, 6.0); break;
        case Kind::oil_pocket:
        case Kind::cyst:
            read_place(o, l);
            l.size_mm = sizes(o, 0.5, 20.0, {6.0, 4.0, 2.0});
            break;
        case Kind::collection:
            read_place(o, l);
            l.size_mm = sizes(o, 0.5, 20.0, {10.0, 8.0, 6.0});
            l.rim_mm = o.number("rim_mm", 0.0, 3.0, 1.0);
            break;
        case Kind::scleral_plaque:
            l.lateral = o.choice("muscle", muscles);
            l.size_mm = sizes(o, 0.5, 10.0, {6.0, 2.0, 1.0});  // 2.21
            break;
        case Kind::drainage_device:
            l.material = o.choice<Stuff>("material", drainage_materials, Stuff::silicone);
            if (o.has("hour")) l.hour = o.number("hour", 0.0, 12.0);
            l.limbus_mm = o.number("limbus_mm", 6.0, 18.0, 13.5);
            l.size_mm = sizes(o, 0.5, 24.0, {13.0, 12.0, 1.0});
            l.bleb_mm = o.number("bleb_mm", 0.0, 6.0, 2.0);
            break;
        case Kind::fracture_plate:
            l.material = o.choice("material", plate_materials);
            l.wall = o.choice<OrbitWall>("wall", walls, OrbitWall::floor);
            l.size_mm = sizes(o, 0.3, 32.0, l.wall == OrbitWall::floor ? std::array{22.3, 27.9, 1.0} : std::array{13.6, 22.0, 1.0});  // 2.16
            break;
        case Kind::eyelid_weight:
            l.material = o.choice<Stuff>("material", weight_materials, Stuff::gold);
            l.size_mm = sizes(o, 0.5, 16.0, {12.0, 5.0, 1.0});  // 2.33: 0.6 to 1.8 g; this one of gold has 1.2 g
            break;
        case Kind::abscess:
            l.size_mm = sizes(o, 1.0, 26.0, {12.0, 18.0, 4.0});
            l.gas_share = o.number("gas_share", 0.0, 0.8, 0.0);
            break;
        case Kind::wood_splinter:
            read_place(o, l);
            l.size_mm = {o.number("length_mm", 2.0, 30.0), o.number("diameter_mm", 0.6, 6.0), 0.0};
            l.gap_mm = o.number("gap_mm", 0.0, 10.0, 0.5);
            if (l.size_mm[0] < l.size_mm[1]) problem.note(o.path_of("length_mm"), "must be at least diameter_mm");
            break;
        case Kind::enlarged_gland:
        case Kind::thickened_muscles: l.factor = o.number("factor", 1.0, 2.5); break;
        case Kind::orbital_sphere:
            l.material = o.choice("material", sphere_materials);
            l.size_mm[0] = o.number("diameter_mm", 12.0, 22.0, 20.0);
            l.shell_mm = o.number("shell_mm", 0.0, 4.0, 2.0);
            break;
        case Kind::empty_socket: break;
    }
    return l;
}

}  // namespace

std::string_view name(LookAlikeKind kind) { return spelled(kinds, kind); }
std::string_view name(LookAlikeMaterial material) { return spelled(materials, material); }
std::string_view name(OrbitWall wall) { return spelled(walls, wall); }

std::vector<LookAlike> read_look_alikes(const JsonValue::List& list, const std::string& path, Problem& problem) {
    std::vector<LookAlike> out;
    for (std::size_t i = 0; i < list.size(); ++i) out.push_back(read_look_alike(list[i], path + "[" + std::to_string(i) + "]", problem));
    if (out.size() > 8) problem.note(path, "must have at most 8 entries");
    if (without_globe(out))
        for (std::size_t i = 0; i < out.size(); ++i)
            if (out[i].kind <= Kind::collection) problem.note(path + "[" + std::to_string(i) + "]", "needs a globe, and another look-alike stands in its place");
    return out;
}

bool without_globe(const std::vector<LookAlike>& look_alikes) {
    return std::any_of(look_alikes.begin(), look_alikes.end(), [](const LookAlike& l) { return l.kind >= Kind::orbital_sphere; });
}

}  // namespace perisclera::phantoms
