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
#include "perisclera/physics/mr_signal.h"

namespace perisclera {

using PerClass = std::array<double, 4>;  ///< indexed by MaterialClass

enum class EvidenceKind { ct_number, ct_peak, t1_ratio, t2_ratio, section_thickness, fits_wall, off_wall, displaces_fat, growth, gas_beside };

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

/// One reading. For ct_peak the element never reaches its own number: the reading is a lower bound. For growth it is the volume at the later of two dates over that at the earlier; for
/// gas_beside, how many series of CT show gas outside it.
struct Reading {
    EvidenceKind kind;
    std::size_t series;          ///< index of the series it was read on
    double value, uncertainty;   ///< HU, ratio, mm, hours or series; standard uncertainty
    double kvp = 120.0;
    bool by_place = false;       ///< read where the eye's frame puts the element, on a series that need not show it there
    std::optional<double> muscle = {};  ///< what this patient's muscle shows there, same unit: of a mass known only by the fat it holds off, which muscle does too
    std::optional<MrTiming> timing = {};   ///< of an MR series, where its header tells it; usual times otherwise
    double years = 0.0;                    ///< between the two dates of growth
};

struct JudgedReading {
    Reading reading;
    PerClass log_likelihood;                                       ///< natural logarithm
    std::array<std::optional<std::array<double, 2>>, 4> expected;  ///< central 95 % of what each material shows
};

enum class NextStep { ct, t1, t2, second_ct_energy, none };
/// One value for each step but none, indexed by NextStep.
using PerStep = std::array<double, 4>;

/// What a part of the readings says by itself.
struct PartOpinion {
    std::optional<MaterialClass> label;
    std::vector<MaterialClass> candidates;
};

/// The water fraction that one reading alone would give, were the element hydrogel.
struct WaterByReading {
    EvidenceKind kind;
    std::size_t series;
    Measured<Fraction> water;
};

struct MaterialOpinion {
    std::optional<MaterialClass> label;        ///< nothing: undetermined
    std::vector<MaterialClass> candidates;     ///< not excluded (at least 5 %), likeliest first
    PerClass probability;
    PerLookAlike look_alike_share;             ///< of `other`: what imitates, as far as the readings tell; sum 1
    Measurement<Fraction> water_fraction;
    std::vector<JudgedReading> evidence;
    NextStep next;
    PerStep information{};                     ///< what each step is expected to tell of the material, bits; 0 where it is at hand
    std::optional<PartOpinion> by_ct{}, by_mr{};   ///< by the readings of one modality, where both are at hand
    std::vector<WaterByReading> water_by_reading{};   ///< where hydrogel is not excluded
    bool water_disagrees = false;              ///< no water fraction fits all readings, were the element hydrogel
    bool outside_table = false;                ///< a reading lies where no row of the table expects one
};

/// Shares before any image is seen: an assumption, stated in the report.
inline constexpr PerClass prior_share{0.36, 0.27, 0.29, 0.08};
/// A label needs at least this posterior.
inline constexpr double label_margin = 0.90;
/// What shows as a mass shows as what lies round any eye, and where nothing was sewn muscle or gland is what it is: from this posterior of `other` on it is taken for anatomy, and is no
/// element. (Of drawn eyes five free ones showed masses of 0.36 to 0.47, seeds 16 and 18 of tests/accuracy.sh.)
inline constexpr double anatomy_from = 0.3;

/// `prior`: shares of the materials before any image is seen, each above 0, sum 1.
MaterialOpinion judge_material(const std::vector<Reading>& readings, const PerClass& prior = prior_share);

/// What an opinion rests on, to be judged anew.
std::vector<Reading> readings_of(const MaterialOpinion& opinion);

}  // namespace perisclera
