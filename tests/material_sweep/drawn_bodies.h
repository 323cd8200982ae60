// SPDX-License-Identifier: Apache-2.0
#pragma once
// One invented patient of the material sweep: a body in each eye, an explant or what may be taken for one, drawn from a seed and a number, and the strata it
// belongs to. The bodies of both eyes are drawn apart and lie at places that do not mirror each other, where they have a clock hour.
#include <array>
#include <cstdint>
#include <string>

namespace perisclera::material_sweep {

struct DrawnBodies {
    int number;
    std::string scenario;              ///< JSON for phantoms::parse_scenario, of one date
    std::string series;                ///< "CT", "T1", "T2", "CT+T1", "CT+T2", "T1+T2", "CT+T1+T2"
    std::array<std::string, 2> kind;   ///< right, left: "solid band", "firm hydrogel", "cyst", …
    bool outside_assumptions;          ///< high noise, long eyes, filler and density at the ends, capsules with calcium, 3 T, beam hardening
};

/// The same seed and number give the same patient; bodies have room in the synthesised orbits, but for the few that have none even when thinner.
DrawnBodies draw_bodies(std::uint64_t seed, int number);

}  // namespace perisclera::material_sweep
