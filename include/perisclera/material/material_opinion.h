// SPDX-License-Identifier: Apache-2.0
#pragma once
// What an element is made of, as far as the images say: evidence per series, likelihood per material, posterior under a
// stated prior, and a label only where one material leads clearly. A wrong confident answer is worse than none.
#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "perisclera/core/measured.h"
#include "perisclera/physics/material_table.h"

namespace perisclera {

using PerClass = std::array<double, 4>;  ///< indexed by MaterialClass

enum class EvidenceKind { ct_number, ct_peak, t1_ratio, t2_ratio, section_thickness, fits_wall, off_wall, displaces_fat };

/// What is no explant for retinal detachment and may be taken for one.
enum class LookAlike {
    soft_tissue,   ///< muscle, gland, growth, scar
    fluid,         ///< cyst, abscess, the bleb of a drainage device
    airy,          ///< wood, plastic foam, gas in tissue
    dense,         ///< plates, drainage devices, calcium, metal
    unknown
};
/// "soft_tissue", "fluid", ...
std::string_view name(LookAlike kind);
inline constexpr std::array all_look_alikes{LookAlike::soft_tissue, LookAlike::fluid, LookAlike::airy, LookAlike::dense, LookAlike::unknown};
using PerLookAlike = std::array<double, all_look_alikes.size()>;

/// One reading. For ct_peak the element never reaches its own number: the reading is a lower bound.
struct Reading {
    EvidenceKind kind;
    std::size_t series;          ///< index of the series it was read on
    double value, uncertainty;   ///< HU, ratio, mm, hours or series; standard uncertainty
    double kvp = 120.0;
    bool by_place = false;       ///< read where the eye's frame puts the element, on a series that need not show it there
    std::optional<double> muscle = {};  ///< what this patient's muscle shows there, same unit: of a mass known only by the fat it holds off, which muscle does too
};

struct JudgedReading {
    Reading reading;
    PerClass log_likelihood;                                       ///< natural logarithm
    std::array<std::optional<std::array<double, 2>>, 4> expected;  ///< central 95 % of what each material shows
};

enum class NextStep { ct, t1, t2, second_ct_energy, none };

struct MaterialOpinion {
    std::optional<MaterialClass> label;        ///< nothing: undetermined
    std::vector<MaterialClass> candidates;     ///< not excluded (at least 5 %), likeliest first
    PerClass probability;
    PerLookAlike look_alike_share;             ///< of `other`: what imitates, as far as the readings tell; sum 1
    Measurement<Fraction> water_fraction;
    std::vector<JudgedReading> evidence;
    NextStep next;
};

/// Shares before any image is seen: an assumption, stated in the report.
inline constexpr PerClass prior_share{0.35, 0.25, 0.25, 0.15};
/// A label needs at least this posterior.
inline constexpr double label_margin = 0.90;

MaterialOpinion judge_material(const std::vector<Reading>& readings);

}  // namespace perisclera
