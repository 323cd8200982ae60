// SPDX-License-Identifier: Apache-2.0
#pragma once
// The best that can be made of readings: the posterior under the very distributions that they were drawn from, by numerical integration over what is not known.
// Shares no code with src/material.
#include "drawn_measurement.h"

namespace perisclera::material_sweep {

/// The density of all readings for a body of this kind, integrated over latent, thickness and dilution.
double likelihood(const BodyKind& kind, bool outside, const Conditions& conditions, const std::vector<Reading>& readings, TrueSignals& signals);

/// A third of bodies is outside the program's assumptions, as they are drawn.
PerClass best_opinion(const Conditions& conditions, const std::vector<Reading>& readings, TrueSignals& signals);

}  // namespace perisclera::material_sweep
