// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the program said of the change between two synthesised visits, held against the truth that the simulation wrote.
#include <array>
#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "drawn_pair.h"
#include "tests/bank/said.h"
#include "tests/globes/strata.h"

namespace perisclera::growth {

/// The element at one date.
struct AtDate {
    double true_volume = 0.0;          ///< mm3; 0 where there is none
    std::string id;                    ///< in the report; empty where none was found at its place
    std::optional<bank::Said> volume;
    std::string measured_on;           ///< the series' role
    std::array<double, 2> spacing_mm{};   ///< of it: in the plane, and from slice to slice
};

/// The report's comparison of both dates.
struct SaidChange {
    std::string verdict;
    std::optional<bank::Said> percent;         ///< of volume
    std::optional<double> smallest_percent;    ///< that these scans could show
    bool under_one_number = false;             ///< both volumes were fitted with one CT number
};

struct PairOutcome {
    DrawnPair pair;
    std::array<AtDate, 2> date;
    double true_thickness_mm = 0.0;            ///< of the largest section, at the later of the dates that have the element
    std::optional<SaidChange> change;          ///< of the element, as it is called at the later date that shows it
    std::vector<std::string> false_changes;    ///< verdicts on what is no explant
    std::vector<globes::Stratum> strata;

    [[nodiscard]] bool there_twice() const { return date[0].true_volume > 0.0 && date[1].true_volume > 0.0; }
    [[nodiscard]] bool found_twice() const { return !date[0].id.empty() && !date[1].id.empty(); }
    /// Both volumes were said, and compared.
    [[nodiscard]] bool compared() const { return found_twice() && date[0].volume && date[1].volume && change && change->percent && change->smallest_percent; }
    [[nodiscard]] double true_log_ratio() const;
    /// Logarithm of the said over the true volume. Precondition: the date has a said volume.
    [[nodiscard]] double log_error(std::size_t which) const;
    /// Of that, as the visit alone states it: half its interval's width over 1.96, over the value.
    [[nodiscard]] double stated_log_uncertainty(std::size_t which) const;
    /// Logarithm of the said over the true ratio of volumes. Precondition: compared().
    [[nodiscard]] double log_error_of_change() const;
    /// Of the logarithm of the volumes' ratio, as its interval states it. Precondition: compared().
    [[nodiscard]] double stated_difference_uncertainty() const;
    /// The true change over the smallest that was stated, both as logarithms without sign. Precondition: compared().
    [[nodiscard]] double true_over_smallest() const;
};

/// `report`: report.json, whose volumes and percents are rounded to 0.1; `truth`: truth.json.
PairOutcome compare(const DrawnPair& pair, const nlohmann::json& report, const nlohmann::json& truth);

}  // namespace perisclera::growth
