// SPDX-License-Identifier: Apache-2.0
#include "src/report/reading_wording.h"

#include <algorithm>
#include <cmath>

#include "perisclera/core/text.h"
#include "perisclera/report/wording.h"
#include "src/report/word_list.h"

namespace perisclera::report {

namespace {

// A reading speaks for a material whose likelihood is within a factor of 3 of the best, against one a hundred times less
// likely: common conventions for weak and for decisive likelihood ratios, no source needed as the numbers stand beside.
constexpr double close_factor = 3.0, decisive_factor = 100.0;

}  // namespace

Speaks speaks(const Evidence& e) {
    double best = -HUGE_VAL;
    for (const Material m : all_materials) best = std::max(best, e.log_likelihood[m].value_or(-HUGE_VAL));
    Speaks out{{}, {}, false};
    for (const Material m : all_materials) {
        if (!e.log_likelihood[m]) continue;
        const double behind = best - *e.log_likelihood[m];
        out.separates = out.separates || behind > std::log(close_factor);
        if (behind <= std::log(close_factor)) out.in_favour.push_back(m);
        if (behind >= std::log(decisive_factor)) out.against.push_back(m);
    }
    return out;
}

std::optional<double> log_ratio(const Evidence& e, Material one, Material other) {
    if (!e.log_likelihood[one] || !e.log_likelihood[other]) return std::nullopt;
    return *e.log_likelihood[one] - *e.log_likelihood[other];
}

Modality modality_of(const Evidence& e) { return e.role == SeriesRole::ct_soft || e.role == SeriesRole::ct_bone ? Modality::ct : Modality::mr; }

std::string in_words(const std::vector<Material>& materials) {
    std::vector<std::string> words;
    for (const Material m : materials) words.push_back(in_words(m));
    return joined(words, ", ");
}

std::string series_in_words(const std::string& series_uid, SeriesRole role, Modality modality, const SeriesLabels& labels) {
    const auto at = labels.find(series_uid);
    const std::string words = in_words(role, modality);
    return at == labels.end() ? words : say("explanation.series", {{"role", words}, {"label", at->second}});
}

int decimals_of_unit(const std::string& unit) { return unit == "HU" ? 0 : 2; }

std::string measured_in_words(const Evidence& e) {
    const auto* measured = e.measured.measured();
    if (!measured) return in_words(e.measured);
    const auto text = [&](StatedQuantity q) { return fixed(q.value(), decimals_of_unit(e.unit)); };
    const std::string value = text(measured->value()) + (e.unit == "ratio" ? "" : " " + e.unit);
    return say("number.with_interval", {{"value", value}, {"low", text(measured->low())}, {"high", text(measured->high())}});
}

}  // namespace perisclera::report
