// SPDX-License-Identifier: Apache-2.0
#pragma once
// How one MR series is acquired. Times ms, angles degrees, field tesla.
#include <optional>

namespace perisclera::phantoms {

enum class MrSequence {
    spin_echo,              ///< one echo or a train of them after each excitation
    gradient_echo,          ///< spoiled
    prepared_gradient_echo  ///< a train of small spoiled pulses after each inversion
};
enum class PhaseAlong { row, column };  ///< as in In-plane Phase Encoding Direction (0018,1312); the frequency runs along the other

struct MrSetting {
    MrSequence sequence;
    bool three_dimensional;
    bool fat_saturated;
    bool with_contrast_agent;
    double repetition_time_ms;                ///< from one excitation to the next; prepared gradient echo: from one inversion to the next
    double echo_time_ms;                      ///< spin-echo train: of the echo in the middle of k-space
    std::optional<double> inversion_time_ms;  ///< to the excitation; prepared gradient echo: to the pulse in the middle of the train
    double flip_angle_deg;
    int train_length;         ///< echoes of one excitation; prepared gradient echo: pulses of one inversion
    double train_spacing_ms;  ///< between two of them
    double field_strength_tesla;
    double bandwidth_hz;  ///< per acquired pixel along the frequency direction; 0: so high that nothing is displaced
    PhaseAlong phase_along;
    double zero_filling;       ///< reconstructed matrix over acquired matrix, at least 1
    double eye_motion_mm;      ///< amplitude of the eyes' swinging from side to side during the acquisition
    double eye_motion_cycles;  ///< swings during the acquisition

    /// The time in which echoes are read and the magnetisation does not recover.
    [[nodiscard]] double train_ms() const { return train_length * train_spacing_ms; }
    bool operator==(const MrSetting&) const = default;
};

/// Proton's frequency in a field of 1 T, Hz (CODATA: 42.577 478 MHz/T).
inline constexpr double hertz_per_ppm_and_tesla = 42.577478;

}  // namespace perisclera::phantoms
