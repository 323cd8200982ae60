// SPDX-License-Identifier: Apache-2.0
#pragma once
// The shares of the materials before any image is seen, where the user set them (--material-shares), as one text: "solid_silicone=0.36,silicone_sponge=0.27,hydrogel=0.29,other=0.08".
#include <optional>
#include <string>
#include <string_view>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Less would exclude a material whatever the images show.
inline constexpr double least_material_share = 0.001;

/// Each material once, in any order, none of less than least_material_share; sum 1. Nothing where the text is anything else.
std::optional<PerMaterial<double>> read_material_shares(std::string_view text);
/// In the order of the materials, with the fewest digits that give the same numbers.
std::string write_material_shares(const PerMaterial<double>& shares);

inline constexpr std::string_view material_shares_option = "material_shares";
/// Those of this run; nothing where they are the program's own.
std::optional<PerMaterial<double>> set_material_shares(const ReportModel& model);

/// "solid silicone 36 %, silicone sponge 27 %, ..."; of probabilities with the word of the printed scale.
std::string shares_in_words(const PerMaterial<double>& shares);
std::string probabilities_in_words(const PerMaterial<double>& probabilities);

}  // namespace perisclera::report
