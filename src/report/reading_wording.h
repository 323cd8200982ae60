// SPDX-License-Identifier: Apache-2.0
#pragma once
// What one reading of the material speaks for and against, and how it is named: shared by evidence table and explanation.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"
#include "src/report/html_sections.h"

namespace perisclera::report {

struct Speaks {
    std::vector<Material> in_favour;   ///< likelihood within a factor of 3 of the best; empty: not weighed
    std::vector<Material> against;     ///< at least 100 times less likely than the best
    bool separates;                    ///< false: all in favour
};
Speaks speaks(const Evidence& e);

/// How much likelier the reading is for the one than for the other, natural logarithm; nothing where it was not weighed for both.
std::optional<double> log_ratio(const Evidence& e, Material one, Material other);

Modality modality_of(const Evidence& e);
/// "solid silicone, hydrogel".
std::string in_words(const std::vector<Material>& materials);
/// "MR, T2 (S3)".
std::string series_in_words(const std::string& series_uid, SeriesRole role, Modality modality, const SeriesLabels& labels);
/// "33 HU (95 % interval 24 to 42)", or the reason why there is no value.
std::string measured_in_words(const Evidence& e);
/// Of readings in this unit.
int decimals_of_unit(const std::string& unit);

}  // namespace perisclera::report
