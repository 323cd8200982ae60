// SPDX-License-Identifier: Apache-2.0
#pragma once
// One body of the sweep and what the program said of its material, whichever half it comes from.
#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/material/material_opinion.h"
#include "tests/bank/said.h"

namespace perisclera::material_sweep {

/// Firm hydrogel holds no more water than this, lightly filled silicone shows no more at 120 kV.
inline constexpr double firm_to = 0.35, light_to_hu = 170.0;

struct JudgedBody {
    std::string name;                      ///< "patient 12, right", "measured 33"
    bool through_images = false;
    std::string series;                    ///< "CT", "T1", …
    std::string kind;                      ///< "solid silicone", "sponge", "infected sponge", "hydrogel", or what imitates: "cyst", …
    MaterialClass truth{};                 ///< `other` for what imitates; an infected sponge is a sponge
    double thickness_mm = 0.0;
    double hu_at_120_kvp = 0.0;            ///< of silicones
    double water_fraction = 0.0;           ///< of hydrogels
    bool outside_assumptions = false;
    bool shown_by_fat_alone = false;       ///< a mass known only by the fat it holds off, as far as known
    std::optional<bool> alike_on_ct{};     ///< has it a CT number that firm hydrogel and lightly filled silicone both have at its tube voltage? Nothing where the half does not know

    bool found = false;                    ///< what follows holds only then
    std::optional<MaterialClass> label{};
    std::vector<MaterialClass> candidates{};
    PerClass probability{};
    std::string next{};                    ///< "ct", "t1", "t2", "second_ct_energy", "none"
    std::optional<bank::Said> water{};
    std::optional<bool> cautioned{};       ///< infection or gas named; nothing where the half has no cautions
    std::optional<PerClass> best{};        ///< the posterior of the generating distributions themselves

    [[nodiscard]] double probability_of(MaterialClass m) const { return probability[static_cast<std::size_t>(m)]; }
    [[nodiscard]] double largest() const { return *std::max_element(probability.begin(), probability.end()); }
    [[nodiscard]] double largest_of_explants() const { return *std::max_element(probability.begin(), probability.begin() + 3); }
    [[nodiscard]] bool lists(MaterialClass m) const { return std::find(candidates.begin(), candidates.end(), m) != candidates.end(); }
    [[nodiscard]] bool right() const { return label == truth; }
    [[nodiscard]] bool wrong() const { return label && label != truth; }
    /// Is the class of the largest probability the true one?
    [[nodiscard]] bool leads_right() const { return probability_of(truth) >= largest(); }
    [[nodiscard]] bool imitates() const { return truth == MaterialClass::other; }
    [[nodiscard]] bool firm_hydrogel() const { return truth == MaterialClass::hydrogel && water_fraction <= firm_to; }
    [[nodiscard]] bool lightly_filled() const { return truth == MaterialClass::solid_silicone && hu_at_120_kvp <= light_to_hu; }
    [[nodiscard]] bool has(const char* contrast) const { return series.find(contrast) != std::string::npos; }
};

}  // namespace perisclera::material_sweep
