// SPDX-License-Identifier: Apache-2.0
#pragma once
// Signal equations of MR sequences: transverse magnetisation at the echo, 1 for fully relaxed water at echo time 0, signed where an
// inversion has not yet recovered. Ideal pulses, no transverse magnetisation left over from one excitation to the next.
// Derivations: Bernstein, King, Zhou, Handbook of MRI Pulse Sequences, 2004 (cited from memory); each formula stands at its function.
#include <optional>

#include "mr_setting.h"

namespace perisclera::phantoms {

struct Relaxation {
    double t1_ms, t2_ms;
    double proton_density;                ///< of visible protons, 1 for water
    double reversible_rate_per_ms = 0.0;  ///< 1/T2* - 1/T2 from fields within the tissue, which only gradient echoes feel

    [[nodiscard]] double t2_star_ms() const { return 1.0 / (1.0 / t2_ms + reversible_rate_per_ms); }
};

/// rho (1 - exp(-(TR - train)/T1)) exp(-TE/T2): recovery starts after the train's last echo, for the refocusing pulses keep it at zero.
/// After an inversion rho (1 - 2 exp(-TI/T1) + exp(-(TR - train)/T1)) exp(-TE/T2).
double spin_echo_signal(const Relaxation& r, double repetition_ms, double echo_ms, std::optional<double> inversion_ms, double train_ms = 0.0);

/// Ernst: rho sin a (1 - E1)/(1 - E1 cos a) exp(-TE/T2*), E1 = exp(-TR/T1).
double spoiled_gradient_echo_signal(const Relaxation& r, double repetition_ms, double echo_ms, double flip_deg);

struct PreparedTrain {
    double repetition_ms, inversion_ms;  ///< between inversions; from an inversion to the middle pulse
    int pulses;
    double spacing_ms, flip_deg, echo_ms;
};
/// Steady state over inversions (Deichmann R et al., Neuroimage 2000;12:112): longitudinal magnetisation runs through inversion, recovery,
/// train and recovery and comes back to what it was; the middle pulse gives the contrast.
double prepared_gradient_echo_signal(const Relaxation& r, const PreparedTrain& train);

/// The equation of the setting's sequence.
double mr_signal(const Relaxation& r, const MrSetting& setting);

/// Relaxation with a macrocyclic gadolinium chelate in the tissue: 1/T = 1/T0 + r C, concentration in mmol/L.
Relaxation with_contrast_agent(Relaxation r, double concentration, double field_strength_tesla);

}  // namespace perisclera::phantoms
