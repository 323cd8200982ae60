// SPDX-License-Identifier: Apache-2.0
#include "water_table.h"

#include <cmath>

#include "tests/globes/table_text.h"

namespace perisclera::material_sweep {

namespace {

using globes::fixed;
using globes::share;

Bodies stated(const Bodies& bodies) { return those(bodies, [](const JudgedBody& b) { return b.truth == MaterialClass::hydrogel && b.found && b.water.has_value(); }); }
bool holds(const JudgedBody& b) { return b.water->holds(b.water_fraction); }

struct Width {
    double mean_error, deviation, half_width;   ///< mean; standard deviation of the errors; mean of half the intervals
};
Width width_of(const Bodies& told) {
    Width w{};
    const auto n = static_cast<double>(told.size());
    for (const JudgedBody* b : told) w.mean_error += (b->water->value - b->water_fraction) / n, w.half_width += 0.5 * (b->water->high - b->water->low) / n;
    for (const JudgedBody* b : told) w.deviation += std::pow(b->water->value - b->water_fraction - w.mean_error, 2) / std::max(1.0, n - 1.0);
    w.deviation = std::sqrt(w.deviation);
    return w;
}

struct Stratum {
    std::string title;
    Bodies told;
};
std::vector<Stratum> strata(const Bodies& bodies) {
    const Bodies told = stated(bodies);
    std::vector<Stratum> out{{"all", told}};
    const auto add = [&](const std::string& title, const Belongs& belongs) { out.push_back({title, those(told, belongs)}); };
    add("through images", [](const JudgedBody& b) { return b.through_images; });
    add("from measurements", [](const JudgedBody& b) { return !b.through_images; });
    for (const char* set : series_sets) add(set, [=](const JudgedBody& b) { return b.series == set; });
    add("to 35 % water", [](const JudgedBody& b) { return b.firm_hydrogel(); });
    add("35 to 60 % water", [](const JudgedBody& b) { return b.water_fraction > 0.35 && b.water_fraction < 0.6; });
    add("60 to 80 % water", [](const JudgedBody& b) { return b.water_fraction >= 0.6 && b.water_fraction < 0.8; });
    add("80 % water and more", [](const JudgedBody& b) { return b.water_fraction >= 0.8; });
    add("within assumptions", [](const JudgedBody& b) { return !b.outside_assumptions; });
    add("outside assumptions", [](const JudgedBody& b) { return b.outside_assumptions; });
    return out;
}

}  // namespace

std::vector<Bound> water_bounds(const Bodies& bodies) {
    const auto parts = strata(bodies);
    const Bodies& told = parts.front().told;
    const auto held = count(told, holds);
    const double part = told.empty() ? 0.0 : static_cast<double>(held) / static_cast<double>(told.size());
    constexpr std::size_t many = 1500;
    const bool kept = told.size() >= many ? part >= 0.93 && part <= 0.97 : !rejected(static_cast<int>(held), static_cast<int>(told.size()), 0.95);
    std::vector<Bound> out{{"water fraction: the 95 % interval holds the truth", told.size(), share(held, told.size()) + " (" + fixed(100.0 * part, 1) + " %)",
                            told.size() >= many ? "93 to 97 %" : "not rejected against 95 % at 1 %", kept}};
    std::string low;
    std::size_t large = 0;
    for (const Stratum& s : parts) {
        if (s.told.size() < 100) continue;
        ++large;
        if (static_cast<double>(count(s.told, holds)) < 0.9 * static_cast<double>(s.told.size())) low += (low.empty() ? "" : ", ") + s.title;
    }
    out.push_back({"water fraction: strata of 100 and more below 90 %", large, low.empty() ? "none" : low, "none", low.empty()});
    const Width w = width_of(told);
    out.push_back({"water fraction: half the interval over the errors' standard deviation", told.size(), fixed(w.deviation > 0.0 ? w.half_width / w.deviation : 0.0, 2), "at most 2.5", w.half_width <= 2.5 * w.deviation});
    return out;
}

std::string water_table(const Bodies& bodies) {
    std::string out = "| stratum | hydrogels with a water fraction | interval holds | mean error | errors' deviation | half the interval, mean | over the deviation |\n|---|---|---|---|---|---|---|\n";
    for (const auto& [title, told] : strata(bodies)) {
        if (told.empty()) continue;
        const Width w = width_of(told);
        const auto held = count(told, holds);
        out += "| " + title + " | " + std::to_string(told.size()) + " | " + share(held, told.size()) + " (" + fixed(100.0 * static_cast<double>(held) / static_cast<double>(told.size()), 0) + " %) | " + fixed(w.mean_error, 3) +
               " | " + fixed(w.deviation, 3) + " | " + fixed(w.half_width, 3) + " | " + (w.deviation > 0.0 ? fixed(w.half_width / w.deviation, 2) : "–") + " |\n";
    }
    return out;
}

}  // namespace perisclera::material_sweep
