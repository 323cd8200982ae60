// SPDX-License-Identifier: Apache-2.0
#pragma once
// One invented patient of the accuracy sweep: a scenario drawn from a seed and a number, and the strata it belongs to.
#include <cstdint>
#include <string>

#include "perisclera/core/eye.h"

namespace perisclera::accuracy {

struct DrawnPatient {
    int number;
    std::string scenario;      ///< JSON for phantoms::parse_scenario
    std::string element;       ///< "solid band", "solid tire", "sponge segmental", "sponge radial", "hydrogel", "none"
    std::string series;        ///< "CT", "MR", "CT+MR"
    bool outside_assumptions;  ///< high noise, gaze to 10 degrees, long eyes, filler or water at or past the ends of the prior, often bone kernel
};

/// The same seed and number give the same patient.
DrawnPatient draw_patient(std::uint64_t seed, int number);

/// The same patient with an element as thick as the synthesised orbit has room for, where it is drawn thicker.
DrawnPatient with_room(DrawnPatient patient);

}  // namespace perisclera::accuracy
