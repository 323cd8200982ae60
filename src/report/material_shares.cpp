// SPDX-License-Identifier: Apache-2.0
#include "perisclera/report/material_shares.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numeric>

#include "perisclera/report/probability_words.h"
#include "perisclera/report/wording.h"

namespace perisclera::report {

namespace {

std::string listed(const PerMaterial<double>& values, std::string (*number)(double)) {
    std::string text;
    for (const Material m : all_materials) text += (text.empty() ? "" : ", ") + std::string(in_words(m)) + " " + number(values[m]);
    return text;
}

}  // namespace

std::optional<PerMaterial<double>> read_material_shares(std::string_view text) {
    PerMaterial<double> shares;
    for (std::string_view left = text; !left.empty();) {
        const std::string_view part = left.substr(0, left.find(','));
        left.remove_prefix(part.size());
        if (left.size() == 1) return std::nullopt;   // a comma ends it
        if (!left.empty()) left.remove_prefix(1);
        const std::size_t sign = part.find('=');
        const auto material = std::find_if(all_materials.begin(), all_materials.end(), [&](Material m) { return name(m) == part.substr(0, sign); });
        if (sign == std::string_view::npos || material == all_materials.end() || shares[*material] > 0.0) return std::nullopt;
        const auto [end, error] = std::from_chars(part.data() + sign + 1, part.data() + part.size(), shares[*material], std::chars_format::fixed);
        if (error != std::errc() || end != part.data() + part.size() || !(shares[*material] >= least_material_share)) return std::nullopt;
    }
    constexpr double of_decimals = 1e-9;
    const double sum = std::accumulate(shares.values.begin(), shares.values.end(), 0.0);
    const bool all_named = std::all_of(shares.values.begin(), shares.values.end(), [](double share) { return share > 0.0; });
    return all_named && std::abs(sum - 1.0) < of_decimals ? std::optional(shares) : std::nullopt;
}

std::string write_material_shares(const PerMaterial<double>& shares) {
    std::string text;
    for (const Material m : all_materials) {
        std::array<char, 32> digits{};
        const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), shares[m], std::chars_format::fixed).ptr;
        text += (text.empty() ? "" : ",") + std::string(name(m)) + "=" + std::string(digits.data(), end);
    }
    return text;
}

std::optional<PerMaterial<double>> set_material_shares(const ReportModel& model) {
    for (const Option& option : model.options)
        if (const auto* text = std::get_if<std::string>(&option.value); text != nullptr && option.name == material_shares_option) return read_material_shares(*text);
    return std::nullopt;
}

std::string shares_in_words(const PerMaterial<double>& shares) { return listed(shares, percent_in_words); }
std::string probabilities_in_words(const PerMaterial<double>& probabilities) { return listed(probabilities, probability_in_words); }

}  // namespace perisclera::report
