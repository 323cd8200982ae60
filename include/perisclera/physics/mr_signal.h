// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal equations of conventional MR sequences.
#include <optional>

namespace perisclera {

/// Times and angle of a sequence as its header states them.
struct MrTiming {
    double repetition_ms, echo_ms;
    std::optional<double> inversion_ms = {};
    std::optional<double> flip_deg = {};   ///< of a gradient echo; nothing: a spin echo
};

struct Relaxing {
    double t1_ms, t2_ms, proton_density;   ///< proton density relative to water
};

/// Magnitude in units of a fully relaxed water signal: spin echo, inversion recovery or spoiled gradient echo, by what `timing` states.
double mr_signal(const Relaxing& what, const MrTiming& timing);

}  // namespace perisclera
