// SPDX-License-Identifier: Apache-2.0
#include "perisclera/physics/mr_signal.h"

#include <cmath>
#include <numbers>

namespace perisclera {

double mr_signal(const Relaxing& what, const MrTiming& timing) {
    const double left = std::exp(-timing.repetition_ms / what.t1_ms);   // of the magnetisation's deficit, after one repetition
    const double decayed = what.proton_density * std::exp(-timing.echo_ms / what.t2_ms);
    if (timing.inversion_ms) return decayed * std::abs(1.0 - 2.0 * std::exp(-*timing.inversion_ms / what.t1_ms) + left);
    if (timing.flip_deg) {
        const double angle = *timing.flip_deg * std::numbers::pi / 180.0;
        return decayed * std::sin(angle) * (1.0 - left) / (1.0 - std::cos(angle) * left);
    }
    return decayed * (1.0 - left);
}

}  // namespace perisclera
