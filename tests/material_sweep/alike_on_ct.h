// SPDX-License-Identifier: Apache-2.0
#pragma once
// The CT numbers that firm hydrogel and lightly filled silicone show at a tube voltage, by the simulator's physics, over all that is drawn.
#include "judged_body.h"
#include "true_signals.h"

namespace perisclera::material_sweep {

struct HuRange {
    double low, high;   ///< none where low is above high
};
inline bool holds(const HuRange& range, double hu) { return range.low <= hu && hu <= range.high; }

HuRange firm_hydrogel_on_ct(double kvp, TrueSignals& signals);
HuRange lightly_filled_on_ct(double kvp, TrueSignals& signals);
/// What both show.
HuRange alike_on_ct(double kvp, TrueSignals& signals);

}  // namespace perisclera::material_sweep
