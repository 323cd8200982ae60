// SPDX-License-Identifier: Apache-2.0
#pragma once
// Random numbers of the sweeps, equal on every machine: the library's distributions differ between implementations.
#include <array>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <random>
#include <utility>
#include <vector>

namespace perisclera::bank {

class Draw {
public:
    explicit Draw(std::uint64_t seed) : engine_(seed) {}
    /// Uniform in [low, high).
    double between(double low, double high) { return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1.0p-53; }
    template <class T, std::size_t N>
    T one_of(const std::array<T, N>& values) { return values[static_cast<std::size_t>(between(0.0, static_cast<double>(N)))]; }
    bool happens(double probability) { return between(0.0, 1.0) < probability; }

private:
    std::mt19937_64 engine_;
};

/// To a multiple of `step`, as a person would state it.
inline double rounded(double value, double step) { return std::round(value / step) * step; }

/// The card that `slot` gets of a deck shuffled anew for every N slots: each card comes once in each N, so that strata fill evenly however many slots there
/// are, and decks of different seeds combine by chance.
template <class T, std::size_t N>
T dealt(const std::array<T, N>& deck, std::uint64_t seed, std::size_t slot) {
    std::vector<std::size_t> order(N);
    std::iota(order.begin(), order.end(), std::size_t{0});
    Draw draw(seed * 1000003u + slot / N);
    for (std::size_t last = N - 1; last > 0; --last) std::swap(order[last], order[static_cast<std::size_t>(draw.between(0.0, static_cast<double>(last + 1)))]);
    return deck[order[slot % N]];
}

}  // namespace perisclera::bank
