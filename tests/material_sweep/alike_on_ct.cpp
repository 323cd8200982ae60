// SPDX-License-Identifier: Apache-2.0
#include "alike_on_ct.h"

#include <algorithm>

namespace perisclera::material_sweep {

namespace {

/// Of the first kind of this class, from its lowest latent to `to`; numbers rise or fall all along.
HuRange shown(MaterialClass truth, double to, double kvp, TrueSignals& signals) {
    const auto kind = std::find_if(body_kinds().begin(), body_kinds().end(), [&](const BodyKind& k) { return k.truth == truth; });
    const auto [low, high] = std::minmax({signals.ct(*kind, latent_range(*kind)[0], kvp), signals.ct(*kind, to, kvp)});
    return {low, high};
}

}  // namespace

HuRange firm_hydrogel_on_ct(double kvp, TrueSignals& signals) { return shown(MaterialClass::hydrogel, firm_to, kvp, signals); }
HuRange lightly_filled_on_ct(double kvp, TrueSignals& signals) { return shown(MaterialClass::solid_silicone, light_to_hu, kvp, signals); }

HuRange alike_on_ct(double kvp, TrueSignals& signals) {
    const HuRange firm = firm_hydrogel_on_ct(kvp, signals), light = lightly_filled_on_ct(kvp, signals);
    return {std::max(firm.low, light.low), std::min(firm.high, light.high)};
}

}  // namespace perisclera::material_sweep
