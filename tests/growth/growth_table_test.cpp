// SPDX-License-Identifier: Apache-2.0
// The document counts what it says it counts, and pairs are read rightly from report and truth, on a few made by hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/growth/growth_table.h"

namespace perisclera::growth {

using nlohmann::json;

namespace {

/// One visit of the truth: an element of this volume in the right eye from 1 to 4 o'clock; none where it is 0.
json true_visit(double volume) {
    json elements = json::array();
    if (volume > 0.0)
        elements.push_back({{"volume_mm3", volume}, {"clock_hours", {{"from", 1.0}, {"to", 4.0}, {"span_hours", 3.0}}}, {"largest_section", {{"thickness_mm", 2.0}}}});
    return {{"eyes", {{"right", {{"elements", elements}}}, {"left", {{"elements", json::array()}}}}}};
}

json quantity(double value, double low, double high) { return {{"value", value}, {"ci95", {low, high}}}; }

/// One visit of the report: an element of this name, known to 10 % of the volume; none where the name is empty.
json said_visit(const std::string& id, double volume) {
    json elements = json::array();
    if (!id.empty())
        elements.push_back({{"id", id}, {"clock_hours", {{"from", quantity(1.2, 1, 1.4)}, {"span_hours", quantity(2.8, 2.5, 3)}}}, {"measured_on", json::array({"1.2"})},
                            {"volume_mm3", quantity(volume, volume * (1.0 - 0.196), volume * (1.0 + 0.196))}});
    return {{"series", json::array({{{"series_uid", "1.2"}, {"role", "ct_soft"}, {"spacing_mm", {0.5, 0.5, 1.0}}}})}, {"eyes", {{"right", {{"elements", elements}}}, {"left", {{"elements", json::array()}}}}}};
}

const double smallest = 100.0 * (std::exp(0.196 * std::sqrt(2.0)) - 1.0);   // 1.96 times 10 % at both dates, on the logarithmic scale

/// `jointly`: under one CT number, to half of the uncertainty.
json compared_change(const std::string& verdict, double percent, bool jointly = false) {
    const auto times = [&](double factor) { return (100.0 + percent) * factor - 100.0; };
    const double factor = std::pow(1.0 + smallest / 100.0, jointly ? 0.5 : 1.0);
    return {{"eye", "right"}, {"element", "R1"}, {"verdict", verdict}, {"under_one_number", jointly}, {"volume_percent", quantity(percent, times(1.0 / factor), times(factor))}, {"smallest_detectable_percent", smallest}};
}
json seen_once(const std::string& id, const std::string& verdict) {
    return {{"eye", "right"}, {"element", id}, {"verdict", verdict}, {"under_one_number", false}, {"volume_percent", {{"value", nullptr}, {"why", "seen once"}}}, {"smallest_detectable_percent", nullptr}};
}

DrawnPair drawn(int number, Event event, const std::string& kind = "CT-CT") { return {number, "", kind, "solid tire", event, true, 1.0}; }

PairOutcome pair(const DrawnPair& drawn, std::array<double, 2> truth, std::array<json, 2> said, const json& changes) {
    return compare(drawn, {{"timepoints", said}, {"changes", changes}}, {{"timepoints", {true_visit(truth[0]), true_visit(truth[1])}}});
}

PairOutcome compared_pair(int number, Event event, double true_after, double said_after, const std::string& verdict, const std::string& kind = "CT-CT") {
    return pair(drawn(number, event, kind), {400, true_after}, {said_visit("R1", 400), said_visit("R1", said_after)}, json::array({compared_change(verdict, said_after / 4.0 - 100.0)}));
}

void expect_line(const std::string& document, const std::string& line) { EXPECT_NE(document.find(line), std::string::npos) << line << "\nis not in\n" << document; }

}  // namespace

TEST(PairOutcome, differences_stand_over_what_is_stated_of_them) {
    const PairOutcome out = compared_pair(0, Event::grown, 800, 600, "enlarged");
    ASSERT_TRUE(out.compared());
    EXPECT_NEAR(out.true_log_ratio(), std::log(2.0), 1e-12);
    EXPECT_NEAR(out.log_error(1), std::log(0.75), 1e-12);
    EXPECT_NEAR(out.stated_log_uncertainty(0), 0.1, 1e-12);
    EXPECT_NEAR(out.stated_difference_uncertainty(), 0.1 * std::sqrt(2.0), 1e-12);
    EXPECT_NEAR(out.true_over_smallest(), std::log(2.0) / (1.96 * 0.1 * std::sqrt(2.0)), 1e-12);
    EXPECT_EQ(out.date[0].measured_on, "ct_soft");
    EXPECT_TRUE(std::count(out.strata.begin(), out.strata.end(), globes::Stratum{"measured on", "CT twice, like images"}));
}

TEST(PairOutcome, what_is_not_at_the_element_s_place_is_none) {
    json elsewhere = said_visit("R2", 400);
    elsewhere["eyes"]["right"]["elements"][0]["clock_hours"]["from"] = quantity(7.0, 6.8, 7.2);
    const PairOutcome out = pair(drawn(0, Event::none), {400, 400}, {said_visit("R1", 400), elsewhere}, {seen_once("R1", "removed"), seen_once("R2", "new")});
    EXPECT_FALSE(out.found_twice());
    EXPECT_EQ(out.change->verdict, "removed");
    EXPECT_EQ(out.false_changes, std::vector<std::string>{"new"});
}

TEST(GrowthDocument, holds_joint_fits_against_fits_of_each_date) {
    // Unchanged, said to be 10 % larger and smaller by each date; 5 % by both together. By each date 10 % times the root of 2, together half as much.
    const auto jointly = [](int number, double after, double percent) {
        return pair(drawn(number, Event::none), {400, 400}, {said_visit("R1", 400), said_visit("R1", after)}, json::array({compared_change("unchanged", percent, true)}));
    };
    const std::string document = growth_document({jointly(0, 440, 5.0), jointly(1, 360, -5.0), compared_pair(2, Event::none, 400, 800, "enlarged")}, 1);
    // Logarithms: 0.0953 and -0.1054, root mean square 0.1005; 0.0488 and -0.0513, 0.0501; over 0.0707 they deviate by 0.1001 / 0.0707 / sqrt(2) = 1.00.
    expect_line(document, "| all | 2 | 10 % | 5 % | 14 % | 7 % | 0.50 | 1.00 |");
}

TEST(GrowthDocument, counts_verdicts_by_what_happened) {
    const PairOutcome lost = pair(drawn(3, Event::none), {400, 400}, {said_visit("R1", 400), said_visit("", 0)}, json::array({seen_once("R1", "removed")}));
    const PairOutcome renamed = pair(drawn(4, Event::cut_back), {400, 200}, {said_visit("R1", 400), said_visit("R2", 200)}, {seen_once("R1", "removed"), seen_once("R2", "new")});
    const PairOutcome removed = pair(drawn(5, Event::removed), {400, 0}, {said_visit("R1", 400), said_visit("", 0)}, json::array({seen_once("R1", "removed")}));
    const std::string document = growth_document({compared_pair(0, Event::none, 400, 400, "unchanged"), compared_pair(1, Event::none, 400, 600, "enlarged"), compared_pair(2, Event::none, 400, 300, "unchanged", "CT+MR"), lost,
                                                  renamed, removed, compared_pair(6, Event::grown, 800, 800, "enlarged"), compared_pair(7, Event::grown, 800, 800, "enlarged")},
                                                 1);
    expect_line(document, "(seed 1, 8 pairs,");
    expect_line(document, "| all | 7 | 6 | 1 | 0 | 1 of 1 | 5 of 6 (36 to 100 %) | 5 of 6 |");   // there twice; found twice, once, never; wrongly removed; one name; compared
    expect_line(document, "| all | 3 | 1 | 0 | 1 of 3 (1 to 91 %) |");                          // by the exact interval: 0.0084 to 0.9057, from the Beta(1, 3) and Beta(2, 2) quantiles
    expect_line(document, "| kind: CT+MR | 1 | 0 | 0 | 0 of 1 (0 to 98 %) |");
    expect_line(document, "| removed | removed 1 |");
    expect_line(document, "| unchanged | enlarged 1, removed 1, unchanged 2 |");
    expect_line(document, "- unchanged, and called enlarged or shrunk: 1\n");
    expect_line(document, "- there at both dates, and called removed or new: 3, 4\n");
    expect_line(document, "- found at both dates, under two names: 4\n");
    // The interval's lower end is the root of 0.025. Doubling over a smallest change of 1.96 * 0.1 * sqrt(2): 0.6931 / 0.2772 = 2.5.
    expect_line(document, "| above 2 | 2 | 2 of 2 (16 to 100 %) | 99 % | 0 |");
}

}  // namespace perisclera::growth
