// SPDX-License-Identifier: Apache-2.0
// Expected values: closed forms derived at each test, and pulse trains run through one pulse after the other.
#include "phantoms/mr_signal.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace perisclera::phantoms {
namespace {

constexpr double degree = std::numbers::pi / 180.0;
double recovered(double before, double ms, double t1) { return 1.0 - (1.0 - before) * std::exp(-ms / t1); }

TEST(MrSignal, a_spin_echo_recovers_with_t1_and_decays_with_t2) {
    // One T1 and one T2: (1 - 1/e)/e. Row 5.01: extraocular muscle 1470 / 41 ms.
    EXPECT_NEAR(spin_echo_signal({1470, 41, 0.8}, 1470, 41, std::nullopt), 0.8 * (1.0 - std::exp(-1.0)) * std::exp(-1.0), 1e-12);
}

TEST(MrSignal, an_inversion_is_nulled_at_t1_times_the_logarithm_of_two) {
    for (const double t1 : {250.0, 920.0, 4300.0}) {
        // 1 - 2 exp(-TI/T1) = 0 for a repetition time without end.
        EXPECT_NEAR(spin_echo_signal({t1, 1e9, 1.0}, 1e9, 0, t1 * std::log(2.0)), 0.0, 1e-12);
        // 1 - 2 exp(-TI/T1) + exp(-TR/T1) = 0 otherwise.
        const double repetition = 2.0 * t1;
        EXPECT_NEAR(spin_echo_signal({t1, 1e9, 1.0}, repetition, 0, t1 * (std::log(2.0) - std::log1p(std::exp(-repetition / t1)))), 0.0, 1e-12);
        EXPECT_LT(spin_echo_signal({t1, 1e9, 1.0}, 1e9, 0, 0.5 * t1), 0.0);
    }
}

// Pulse by pulse: 90 degrees leave no longitudinal magnetisation, then each 180 degrees turn over what has come back.
TEST(MrSignal, a_train_of_refocusing_pulses_delays_the_recovery_by_its_length) {
    for (const double t1 : {500.0, 1500.0, 4600.0}) {
        constexpr double repetition = 4000.0, spacing = 10.0;
        constexpr int echoes = 15;
        double z = recovered(0.0, spacing / 2.0, t1);
        for (int echo = 1; echo < echoes; ++echo) z = recovered(-z, spacing, t1);
        z = recovered(-z, repetition - (echoes - 0.5) * spacing, t1);
        // What an odd train leaves differs by one half spacing, 5 ms, at most.
        EXPECT_NEAR(spin_echo_signal({t1, 1e9, 1.0}, repetition, 0, std::nullopt, echoes * spacing), z,
                    1.5 * spacing / t1 * std::exp(-repetition / t1) + 1e-9)
            << t1;
    }
}

// d/da of Ernst's equation is zero at cos a = E1, where the signal is sqrt((1 - E1)/(1 + E1)).
TEST(MrSignal, a_spoiled_gradient_echo_is_brightest_at_the_ernst_angle) {
    for (const double t1 : {250.0, 900.0, 4600.0}) {
        constexpr double repetition = 20.0;
        const double e1 = std::exp(-repetition / t1), ernst = std::acos(e1) / degree;
        const Relaxation r{t1, 1e9, 1.0};
        const double best = spoiled_gradient_echo_signal(r, repetition, 0.0, ernst);
        EXPECT_NEAR(best, std::sqrt((1.0 - e1) / (1.0 + e1)), 1e-12);
        EXPECT_LT(spoiled_gradient_echo_signal(r, repetition, 0.0, ernst * 0.97), best);
        EXPECT_LT(spoiled_gradient_echo_signal(r, repetition, 0.0, ernst * 1.03), best);
    }
}

TEST(MrSignal, gradient_echoes_decay_with_t2_star_and_spin_echoes_do_not) {
    const Relaxation r{1000, 100, 1.0, 0.02};
    EXPECT_NEAR(r.t2_star_ms(), 1.0 / 0.03, 1e-9);
    EXPECT_NEAR(spoiled_gradient_echo_signal(r, 500, 30, 20) / spoiled_gradient_echo_signal(r, 500, 0, 20), std::exp(-0.9), 1e-12);
    EXPECT_NEAR(spin_echo_signal(r, 500, 30, std::nullopt) / spin_echo_signal(r, 500, 0, std::nullopt), std::exp(-0.3), 1e-12);
}

TEST(MrSignal, a_prepared_gradient_echo_comes_to_the_steady_state_that_pulse_by_pulse_leads_to) {
    const PreparedTrain train{2000.0, 1000.0, 160, 7.5, 9.0, 3.4};
    for (const double t1 : {250.0, 780.0, 920.0, 4600.0}) {
        const double first = train.inversion_ms - 80 * train.spacing_ms;
        double z = 1.0, middle = 0.0;
        for (int repetition = 0; repetition < 60; ++repetition) {
            z = recovered(-z, first, t1);
            for (int pulse = 0; pulse < train.pulses; ++pulse) {
                if (pulse == 80) middle = z;
                z = recovered(z * std::cos(train.flip_deg * degree), train.spacing_ms, t1);
            }
            z = recovered(z, train.repetition_ms - first - train.pulses * train.spacing_ms, t1);
        }
        EXPECT_NEAR(prepared_gradient_echo_signal({t1, 50, 0.7}, train),
                    0.7 * middle * std::sin(train.flip_deg * degree) * std::exp(-train.echo_ms / 50.0), 1e-9)
            << t1;
    }
}

TEST(MrSignal, a_prepared_gradient_echo_has_the_limits_of_its_parts) {
    const Relaxation r{900, 1e9, 1.0};
    // Pulses too small to count: an inversion that comes back every TR, 1 - 2 exp(-TI/T1)/(1 + exp(-TR/T1)).
    EXPECT_NEAR(prepared_gradient_echo_signal(r, {2000, 1000, 100, 8, 1e-4, 0}) / std::sin(1e-4 * degree),
                1.0 - 2.0 * std::exp(-1000 / 900.0) / (1.0 + std::exp(-2000 / 900.0)), 1e-6);
    // A train long enough to forget the inversion: Ernst's steady state.
    EXPECT_NEAR(prepared_gradient_echo_signal(r, {60000, 30000, 6000, 10, 20, 0}), spoiled_gradient_echo_signal(r, 10, 0, 20), 1e-9);
}

// r1 of three macrocyclic chelates in human plasma, 37 C: 3.32 to 4.78 at 1.5 T, 3.00 to 4.97 L/(mmol s) at 3 T (Szomolanyi P et al., Invest
// Radiol 2019;54:559, doi 10.1097/RLI.0000000000000577).
TEST(MrSignal, a_millimole_of_contrast_agent_shortens_t1_by_the_published_relaxivity) {
    for (const auto& [field, low, high] : {std::array{1.5, 3.32, 4.78}, std::array{3.0, 3.00, 4.97}}) {
        const double rate = 1000.0 / with_contrast_agent({1500, 41, 0.8}, 1.0, field).t1_ms - 1000.0 / 1500.0;
        EXPECT_GE(rate, low);
        EXPECT_LE(rate, high);
    }
    EXPECT_EQ(with_contrast_agent({1500, 41, 0.8}, 0.0, 1.5).t1_ms, 1500.0);
}

}  // namespace
}  // namespace perisclera::phantoms
