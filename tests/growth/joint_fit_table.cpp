// SPDX-License-Identifier: Apache-2.0
#include "joint_fit_table.h"

#include <algorithm>
#include <cmath>

#include "change_statistics.h"
#include "tests/globes/table_text.h"

namespace perisclera::growth {

namespace {

using globes::fixed;
using Pairs = std::vector<const PairOutcome*>;

std::string percent(double share) { return fixed(100.0 * share, 0) + " %"; }

double root_mean_square(const std::vector<double>& values) {
    double squares = 0.0;
    for (const double v : values) squares += v * v;
    return std::sqrt(squares / static_cast<double>(values.size()));
}

std::string row(const std::string& title, const Pairs& pairs) {
    std::vector<double> error_alone, error_jointly, stated_alone, stated_jointly, narrower, over_stated;
    for (const PairOutcome* p : pairs) {
        if (!p->compared() || !p->change->under_one_number) continue;
        error_alone.push_back(p->log_error(1) - p->log_error(0));
        error_jointly.push_back(p->log_error_of_change());
        stated_alone.push_back(std::hypot(p->stated_log_uncertainty(0), p->stated_log_uncertainty(1)));
        stated_jointly.push_back(p->stated_difference_uncertainty());
        narrower.push_back(stated_jointly.back() / stated_alone.back());
        over_stated.push_back(error_jointly.back() / stated_jointly.back());
    }
    const auto deviation = spread_of(over_stated);
    if (!deviation) return "";
    return "| " + title + " | " + std::to_string(narrower.size()) + " | " + percent(root_mean_square(error_alone)) + " | " + percent(root_mean_square(error_jointly)) + " | " +
           percent(quantile(stated_alone, 0.5)) + " | " + percent(quantile(stated_jointly, 0.5)) + " | " + fixed(quantile(narrower, 0.5), 2) + " | " + fixed(deviation->deviation, 2) + " |\n";
}

}  // namespace

std::string joint_fit_section(const Pairs& pairs) {
    const std::string rows = globes::by_stratum<PairOutcome>(pairs, row);
    return "## Joint fit against independent fits\n\nOf silicone on CT at both dates, whose sizes rest on layers, both thicknesses are fitted under one CT number (docs/measurements.md). The same pairs by each date by itself and together:\n"
           "error of the logarithm of the volumes' ratio (root mean square), its stated standard uncertainty (median; each by itself: added in squares), stated together over each by itself (median), and the\n"
           "deviation of errors over what is stated together. What both dates share besides (like images) counts in what is stated together.\n\n" +
           (rows.empty() ? "Fewer than two pairs were so fitted.\n"
                         : "| stratum | pairs | error, each by itself | error, together | stated, each by itself | stated, together | narrower | deviation |\n|---|---|---|---|---|---|---|---|\n" + rows);
}

}  // namespace perisclera::growth
