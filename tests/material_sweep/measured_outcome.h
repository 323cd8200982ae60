// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the program's judgement says of a drawn body's readings, beside the best that can be said.
#include "drawn_measurement.h"
#include "judged_body.h"

namespace perisclera::material_sweep {

JudgedBody judge(const DrawnMeasurement& drawn, int number, TrueSignals& signals);

}  // namespace perisclera::material_sweep
