// SPDX-License-Identifier: Apache-2.0
#pragma once
// How much water a hydrogel holds, and whether all readings can be of one water content.
#include "hypotheses.h"

namespace perisclera {

/// `shares`: of hydrogel_states(), sum 1. Mean and central 95 %.
Measured<Fraction> water_of(const std::vector<double>& shares);

/// By each CT number and each signal alone, were the element hydrogel.
std::vector<WaterByReading> water_by_reading(const std::vector<Reading>& readings);

/// Does no state of hydrogel lie within what the readings of signal allow together? One in a hundred true hydrogels would be told so.
bool water_disagrees(const std::vector<Reading>& readings);

}  // namespace perisclera
