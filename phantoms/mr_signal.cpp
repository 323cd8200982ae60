// SPDX-License-Identifier: Apache-2.0
#include "mr_signal.h"

#include <cmath>

#include "globe_shape.h"

namespace perisclera::phantoms {

namespace {

double sine(double degrees) { return std::sin(degrees * pi / 180.0); }
double cosine(double degrees) { return std::cos(degrees * pi / 180.0); }

/// What happens to longitudinal magnetisation in a while: it becomes kept * before + gained.
struct Change {
    double kept = 1.0, gained = 0.0;
    [[nodiscard]] double of(double before) const { return kept * before + gained; }
    [[nodiscard]] Change then(Change next) const { return {next.kept * kept, next.kept * gained + next.gained}; }
    /// Unchanged by it.
    [[nodiscard]] double steady() const { return gained / (1.0 - kept); }
};

Change recovery(double duration_ms, double t1_ms) {
    const double left = std::exp(-duration_ms / t1_ms);
    return {left, 1.0 - left};
}

/// `n` times a pulse and the recovery after it: a geometric series.
Change pulses(int n, double cosine_of_flip, Change between) {
    const double kept = cosine_of_flip * between.kept, all = std::pow(kept, n);
    return {all, between.gained * (1.0 - all) / (1.0 - kept)};
}

}  // namespace

double spin_echo_signal(const Relaxation& r, double repetition_ms, double echo_ms, std::optional<double> inversion_ms, double train_ms) {
    const double unrecovered = std::exp(-(repetition_ms - train_ms) / r.t1_ms);
    const double longitudinal = inversion_ms ? 1.0 - 2.0 * std::exp(-*inversion_ms / r.t1_ms) + unrecovered : 1.0 - unrecovered;
    return r.proton_density * longitudinal * std::exp(-echo_ms / r.t2_ms);
}

double spoiled_gradient_echo_signal(const Relaxation& r, double repetition_ms, double echo_ms, double flip_deg) {
    const double unrecovered = std::exp(-repetition_ms / r.t1_ms);
    return r.proton_density * sine(flip_deg) * (1.0 - unrecovered) / (1.0 - unrecovered * cosine(flip_deg)) * std::exp(-echo_ms / r.t2_star_ms());
}

double prepared_gradient_echo_signal(const Relaxation& r, const PreparedTrain& train) {
    const Change between = recovery(train.spacing_ms, r.t1_ms);
    const int before_middle = train.pulses / 2;
    const double c = cosine(train.flip_deg);
    const double first_ms = train.inversion_ms - before_middle * train.spacing_ms;
    const Change to_middle = Change{-1.0, 0.0}.then(recovery(first_ms, r.t1_ms)).then(pulses(before_middle, c, between));
    const Change rest =
        pulses(train.pulses - before_middle, c, between).then(recovery(train.repetition_ms - first_ms - train.pulses * train.spacing_ms, r.t1_ms));
    return r.proton_density * to_middle.of(to_middle.then(rest).steady()) * sine(train.flip_deg) * std::exp(-train.echo_ms / r.t2_star_ms());
}

double mr_signal(const Relaxation& r, const MrSetting& s) {
    switch (s.sequence) {
        case MrSequence::spin_echo:
            return spin_echo_signal(r, s.repetition_time_ms, s.echo_time_ms, s.inversion_time_ms, s.train_ms());
        case MrSequence::gradient_echo:
            return spoiled_gradient_echo_signal(r, s.repetition_time_ms, s.echo_time_ms, s.flip_angle_deg);
        case MrSequence::prepared_gradient_echo:
            return prepared_gradient_echo_signal(
                r, {s.repetition_time_ms, s.inversion_time_ms.value_or(0.0), s.train_length, s.train_spacing_ms, s.flip_angle_deg, s.echo_time_ms});
    }
    return 0.0;
}

Relaxation with_contrast_agent(Relaxation r, double concentration, double field_strength_tesla) {
    // Three macrocyclic chelates in plasma at 37 C: r1 3.3 to 4.8 at 1.5 T, 3.0 to 5.0 at 3 T (PMC6738537); r2 is usually somewhat larger
    // (common practice). In L/(mmol s).
    const double r1 = field_strength_tesla < 2.0 ? 4.0 : 3.7, r2 = 1.25 * r1;
    r.t1_ms = 1.0 / (1.0 / r.t1_ms + r1 * concentration / 1000.0);
    r.t2_ms = 1.0 / (1.0 / r.t2_ms + r2 * concentration / 1000.0);
    return r;
}

}  // namespace perisclera::phantoms
