// SPDX-License-Identifier: Apache-2.0
#pragma once
// What an element may be, in full: each material with what its specimens differ in. All readings judge one specimen, so that what fits one series as one
// specimen and another series as another fits neither.
#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "perisclera/material/material_opinion.h"

namespace perisclera {

struct SiliconeGrade {
    double hu_at_120_kvp;
};
struct SpongeDensity {
    double hu;                ///< the same at every tube voltage
};
struct HydrogelState {
    double water_fraction, dry_density;
    int binding;              ///< index into hydrogel_bindings
};

/// What is no explant. Its CT number is about a mean or anywhere in a range; its MR signal follows from its relaxation, is none, or is anything.
struct Imitation {
    LookAlike kind;
    std::optional<Expected> hu;                        ///< about a mean
    std::array<double, 2> hu_range{};                  ///< where there is no mean
    enum class OnMr { signal, dark, anything } on_mr;
    Relaxing relaxing{};
    bool falls_as_silicone = false;                    ///< its CT number is that of silicone oil, by the tube voltage
};

/// Of fluids: cyst, blister or leaked oil; fluid that relaxes faster is pus.
inline bool is_collection(const Imitation& what) {
    constexpr double pus_t2_ms = 200.0;
    return what.relaxing.t2_ms > pus_t2_ms || what.falls_as_silicone;
}

/// One specimen with its share before any image is seen.
template <class State>
struct Possible {
    State state;
    double share;
};

/// Steps between specimens, HU. Each stands for half a step to either side, however exactly a CT number is read.
inline constexpr double silicone_grade_step = 10.0, sponge_density_step = 20.0;

/// Shares sum to 1.
const std::vector<Possible<SiliconeGrade>>& silicone_grades();
const std::vector<Possible<SpongeDensity>>& sponge_densities();
const std::vector<Possible<HydrogelState>>& hydrogel_states();

/// With the shares that `kinds` gives to each kind, sum 1.
std::vector<Possible<Imitation>> imitations(const PerLookAlike& kinds);

inline constexpr double least_water = 0.15, most_water = 0.95;

}  // namespace perisclera
