// SPDX-License-Identifier: Apache-2.0
#include "calibration_tables.h"

#include "tests/globes/table_text.h"

namespace perisclera::material_sweep {

namespace {

using globes::fixed;
using globes::percent;

std::string set_row(const std::string& title, const Bodies& bodies) {
    if (bodies.empty()) return "";
    const Bodies seen = those(bodies, found);
    const auto good = count(seen, right), bad = count(seen, wrong), open = count(seen, undetermined);
    const auto number = [](std::size_t n) { return std::to_string(n) + " | "; };
    const auto leads = count(seen, [](const JudgedBody& b) { return b.leads_right(); });
    const Bodies referred = those(seen, [](const JudgedBody& b) { return b.best.has_value(); });
    const auto best = count(referred, [](const JudgedBody& b) { return (*b.best)[static_cast<std::size_t>(b.truth)] >= *std::max_element(b.best->begin(), b.best->end()); });
    return "| " + title + " | " + number(bodies.size()) + number(seen.size()) + number(good) + number(open) + number(bad) + percent(good, good + bad) + " | " + percent(open, seen.size()) + " | " +
           percent(leads, seen.size()) + " | " + percent(best, referred.size()) + " | " + (seen.empty() ? "–" : fixed(expected_calibration_error(stated_cases(seen)), 3)) + " |\n";
}

std::string bin_rows(const std::string& title, const Bodies& bodies) {
    std::string out;
    const auto bins = binned(stated_cases(bodies));
    for (std::size_t k = 0; k < bins.size(); ++k) {
        const CalibrationBin& bin = bins[k];
        if (bin.cases == 0) continue;
        out += "| " + title + " | " + fixed(0.1 * static_cast<double>(k), 1) + " to " + fixed(0.1 * static_cast<double>(k + 1), 1) + " | " + std::to_string(bin.cases) + " | " + fixed(bin.mean_stated, 3) + " | " +
               fixed(static_cast<double>(bin.right) / bin.cases, 3) + " | " + std::to_string(bin.right) + " | " + std::to_string(bin.band[0]) + " to " + std::to_string(bin.band[1]) + " | " +
               (bin.inside() ? "inside" : bin.right < bin.band[0] ? "**too sure**" : "**too modest**") + " |\n";
    }
    return out;
}

/// All, and each set.
template <class Rows>
std::string all_and_each_set(const Bodies& bodies, const Rows& rows) {
    std::string out = rows("all", bodies);
    for (const char* set : series_sets) out += rows(set, those(bodies, [&](const JudgedBody& b) { return b.series == set; }));
    return out;
}

}  // namespace

int bins_outside(const std::vector<StatedCase>& cases) {
    const auto bins = binned(cases);
    return static_cast<int>(std::count_if(bins.begin(), bins.end(), [](const CalibrationBin& b) { return !b.inside(); }));
}

std::string set_table(const Bodies& bodies) {
    return "| series | bodies | found | right | undetermined | wrong | right of labelled | undetermined of found | likeliest is right | best possible | calibration error |\n|---|---|---|---|---|---|---|---|---|---|---|\n" +
           all_and_each_set(bodies, set_row) + set_row("within assumptions", those(bodies, [](const JudgedBody& b) { return !b.outside_assumptions; })) +
           set_row("outside assumptions", those(bodies, [](const JudgedBody& b) { return b.outside_assumptions; })) +
           set_row("masses known by the fat they hold off", those(bodies, [](const JudgedBody& b) { return b.shown_by_fat_alone; }));
}

std::string calibration_table(const Bodies& bodies, bool each_set) {
    return "| series | stated | cases | mean stated | share right | right | 99 % band of right ones | |\n|---|---|---|---|---|---|---|---|\n" + (each_set ? all_and_each_set(bodies, bin_rows) : bin_rows("all", bodies));
}

}  // namespace perisclera::material_sweep
