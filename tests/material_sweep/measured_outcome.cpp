// SPDX-License-Identifier: Apache-2.0
#include "measured_outcome.h"

#include "alike_on_ct.h"
#include "best_opinion.h"

namespace perisclera::material_sweep {

namespace {

std::string word(NextStep step) {
    constexpr std::array words{"ct", "t1", "t2", "second_ct_energy", "none"};   // as in report.json
    return words[static_cast<std::size_t>(step)];
}

}  // namespace

JudgedBody judge(const DrawnMeasurement& drawn, int number, TrueSignals& signals) {
    const MaterialOpinion opinion = judge_material(drawn.readings);
    JudgedBody body;
    body.name = "measured " + std::to_string(number);
    body.series = drawn.conditions.series;
    body.kind = drawn.kind->name;
    body.truth = drawn.kind->truth;
    body.thickness_mm = drawn.thickness_mm;
    (body.truth == MaterialClass::hydrogel ? body.water_fraction : body.hu_at_120_kvp) = drawn.latent;
    body.outside_assumptions = drawn.outside_assumptions;
    body.shown_by_fat_alone = drawn.conditions.mass;
    body.alike_on_ct = !drawn.kind->tissue && holds(alike_on_ct(drawn.conditions.kvp, signals), signals.ct(*drawn.kind, drawn.latent, drawn.conditions.kvp));
    // What the program takes for anatomy it does not tell.
    body.found = !(drawn.conditions.mass && opinion.probability[static_cast<std::size_t>(MaterialClass::other)] >= anatomy_from);
    body.label = opinion.label;
    body.candidates = opinion.candidates;
    body.probability = opinion.probability;
    body.next = word(opinion.next);
    if (const auto* water = opinion.water_fraction.measured()) body.water = bank::Said{water->value().value(), water->low().value(), water->high().value()};
    body.best = best_opinion(drawn.conditions, drawn.readings, signals);
    return body;
}

}  // namespace perisclera::material_sweep
