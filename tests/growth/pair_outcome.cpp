// SPDX-License-Identifier: Apache-2.0
#include "pair_outcome.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/eye.h"

namespace perisclera::growth {

using nlohmann::json;

namespace {

constexpr double z95 = 1.96;

json series_of(const json& visit, const json& series_uid) {
    for (const json& series : visit["series"])
        if (series["series_uid"] == series_uid) return series;
    return {};
}

AtDate at_date(const json& said_visit, const std::string& eye, const json& true_elements) {
    AtDate at;
    if (true_elements.empty()) return at;
    at.true_volume = true_elements[0]["volume_mm3"];
    for (const json& element : said_visit["eyes"][eye]["elements"]) {
        if (!bank::at_the_place(element["clock_hours"], true_elements[0]["clock_hours"])) continue;
        at.id = element["id"];
        at.volume = bank::said(element["volume_mm3"]);
        const json series = series_of(said_visit, element["measured_on"][0]);
        at.measured_on = series["role"];
        at.spacing_mm = {series["spacing_mm"][0], series["spacing_mm"][2]};
        break;
    }
    return at;
}

std::string slices(const DrawnPair& pair) {
    return pair.kind + (pair.slice_mm <= 1.5 ? " to 1.5 mm" : pair.slice_mm <= 3.0 ? " 2 to 3 mm" : " 4 mm");
}

bool is_ct(const AtDate& at) { return at.measured_on.starts_with("ct_"); }

/// What both volumes were measured on. Images are like by the definition of docs/measurements.md; all CT is axial here.
std::string measured_on(const PairOutcome& out) {
    const auto& [first, second] = out.date;
    if (!out.found_twice()) return "not found twice";
    if (is_ct(first) != is_ct(second)) return "CT and MR";
    const auto alike = [](double a, double b) { return std::max(a, b) <= 1.25 * std::min(a, b); };
    const bool like = first.measured_on == second.measured_on && alike(first.spacing_mm[0], second.spacing_mm[0]) && alike(first.spacing_mm[1], second.spacing_mm[1]);
    return std::string(is_ct(first) ? "CT" : "MR") + " twice, " + (out.pair.like_series || (like && is_ct(first)) ? "like images" : "unlike images");
}

std::vector<globes::Stratum> strata_of(const PairOutcome& out) {
    const double t = out.true_thickness_mm;
    return {{"all", "all"},
            {"kind", out.pair.kind},
            {"measured on", measured_on(out)},
            {"material", out.pair.material},
            {"thickness", t < 1.5 ? "less than 1.5 mm" : t < 3.0 ? "from 1.5 to 3 mm" : "more than 3 mm"},
            {"slices", slices(out.pair)}};
}

}  // namespace

double PairOutcome::true_log_ratio() const { return std::log(date[1].true_volume / date[0].true_volume); }

double PairOutcome::log_error(std::size_t which) const { return std::log(date[which].volume->value / date[which].true_volume); }

double PairOutcome::stated_log_uncertainty(std::size_t which) const {
    const bank::Said& volume = *date[which].volume;
    return (volume.high - volume.low) / (2.0 * z95 * volume.value);
}

double PairOutcome::log_error_of_change() const { return std::log1p(change->percent->value / 100.0) - true_log_ratio(); }

double PairOutcome::stated_difference_uncertainty() const { return std::log((100.0 + change->percent->high) / (100.0 + change->percent->low)) / (2.0 * z95); }

double PairOutcome::true_over_smallest() const { return std::abs(true_log_ratio()) / std::log1p(*change->smallest_percent / 100.0); }

PairOutcome compare(const DrawnPair& pair, const json& report, const json& truth) {
    PairOutcome out{.pair = pair, .date = {}, .change = {}, .false_changes = {}, .strata = {}};
    std::string operated;
    for (const Eye eye : both_eyes) {
        const std::string which(name(eye));
        for (const std::size_t k : {0u, 1u}) {
            const json& elements = truth["timepoints"][k]["eyes"][which]["elements"];
            if (elements.empty()) continue;
            operated = which;
            out.true_thickness_mm = elements[0]["largest_section"]["thickness_mm"];
            out.date[k] = at_date(report["timepoints"][k], which, elements);
        }
    }
    const std::string id = out.date[1].id.empty() ? out.date[0].id : out.date[1].id;
    for (const json& change : report["changes"]) {
        const bool of_explant = change["eye"] == operated && (change["element"] == out.date[0].id || change["element"] == out.date[1].id);
        if (!of_explant)
            out.false_changes.push_back(change["verdict"]);
        else if (change["element"] == id) {
            const json& smallest = change["smallest_detectable_percent"];
            out.change = {change["verdict"], bank::said(change["volume_percent"]), smallest.is_null() ? std::nullopt : std::optional<double>(smallest), change["under_one_number"]};
        }
    }
    out.strata = strata_of(out);
    return out;
}

}  // namespace perisclera::growth
