// SPDX-License-Identifier: Apache-2.0
#pragma once
// Two visits of one invented patient of the growth sweep: a scenario drawn from a seed and a number, and the strata it belongs to.
// Between the visits head, gaze, noise and tube voltage differ always, scanner, kernel and slices in half of the pairs.
#include <cstdint>
#include <string>

namespace perisclera::growth {

/// What happened to the element between the visits.
enum class Event { none, grown, moved, broken, removed, cut_back, added };

struct DrawnPair {
    int number;
    std::string scenario;   ///< JSON for phantoms::parse_scenario, of two dates
    std::string kind;       ///< "CT-CT", "T2-T2" (with T1), "CT+MR" (CT, T2 and T1 at both dates), "CT-T2" (the first visit has MR as well for a hydrogel)
    std::string material;   ///< "solid band", "solid tire", "sponge", "hydrogel"
    Event event;
    bool like_series;       ///< not CT-T2, and same kernel, plane, pixels and slice thickness at both dates
    double slice_mm;        ///< the thicker of both visits, of CT where there is one
};

/// The same seed and number give the same pair; elements have room in the synthesised orbits.
DrawnPair draw_pair(std::uint64_t seed, int number);

}  // namespace perisclera::growth
