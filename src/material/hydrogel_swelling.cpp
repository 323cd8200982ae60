// SPDX-License-Identifier: Apache-2.0
#include "perisclera/material/hydrogel_swelling.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double polymer_as_sold = 0.82, dry_density = 1.25;   // share of volume; against water

/// CT number of a hydrogel without its polymer, and how far that is in doubt (calculated at 70 keV; the slope over polymer cancels in what follows).
constexpr double hu_of_water_held = 10.0, doubt_of_it = 4.0;
constexpr double like_voltage_kv = 5.0;

/// The CT numbers of two dates at like voltages that are surest together; nothing where there are none.
struct Pair {
    const Reading *before, *after;
};
std::optional<Pair> like_ct_numbers(const std::vector<JudgedReading>& before, const std::vector<JudgedReading>& after) {
    std::optional<Pair> best;
    const auto doubt = [](const Pair& p) { return std::hypot(p.before->uncertainty, p.after->uncertainty); };
    for (const JudgedReading& b : before)
        for (const JudgedReading& a : after) {
            if (b.reading.kind != EvidenceKind::ct_number || a.reading.kind != EvidenceKind::ct_number || std::abs(b.reading.kvp - a.reading.kvp) > like_voltage_kv) continue;
            const Pair pair{&b.reading, &a.reading};
            if (!best || doubt(pair) < doubt(*best)) best = pair;
        }
    return best;
}

}  // namespace

Fraction water_at_swelling(double volume_ratio) {
    const double polymer = polymer_as_sold / volume_ratio;
    return Fraction((1.0 - polymer) / (1.0 - polymer + dry_density * polymer));
}

Measurement<Fraction> water_by_swelling(const Measurement<Mm2>& area, const OriginalSection& original) {
    const auto* now = area.measured();
    if (now == nullptr) return *area.unmeasured();
    const double rectangle = original.width.value() * original.thickness.value(), ellipse = std::numbers::pi / 4.0 * rectangle;
    if (now->high().value() < ellipse) return Unmeasured{say("reason.section_smaller_than_told")};
    const auto water = [](Mm2 today, double then) { return water_at_swelling(std::max(std::pow(today.value() / then, 1.5), 1.0)); };
    return Measured<Fraction>(water(now->value(), rectangle), water(now->low(), rectangle), water(now->high(), ellipse));
}

bool apart(const Measurement<Fraction>& a, const Measurement<Fraction>& b) {
    const auto *one = a.measured(), *other = b.measured();
    return one != nullptr && other != nullptr && (one->high() < other->low() || other->high() < one->low());
}

bool grew_without_water(const Measured<Percent>& growth, const std::vector<JudgedReading>& before, const std::vector<JudgedReading>& after) {
    const auto pair = like_ct_numbers(before, after);
    const double ratio = 1.0 + growth.value().value() / 100.0;
    if (!pair || ratio <= 1.0) return false;
    // What polymer adds to the CT number is thinned as the volume grows.
    const double added = pair->before->value - hu_of_water_held;
    if (added <= 0.0) return false;
    const double expected = hu_of_water_held + added / ratio;
    const double of_growth = added / (ratio * ratio) * growth.standard_uncertainty().value() / 100.0;
    const double doubt = std::hypot(std::hypot(pair->after->uncertainty, pair->before->uncertainty / ratio), std::hypot(of_growth, doubt_of_it * (1.0 - 1.0 / ratio)));
    return pair->after->value - expected > 2.0 * doubt;
}

}  // namespace perisclera
