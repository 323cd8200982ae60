// SPDX-License-Identifier: Apache-2.0
#pragma once
// Natural lens, lens implant, or neither: from how the signal runs from the cavity forward to the cornea. A natural lens is some 4 mm thick and 9 mm wide
// (0.18 mL: MR of 31 emmetropes, PMID 19176097), an implant's optic about 1 mm and 6 mm wide. What blur leaves untouched is the integral of the departure
// along the axis; the width tells thick from thin where the voxels allow. Behind neither stands a lens that has slipped out of its place.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/anatomy/cavity.h"

namespace perisclera {

enum class LensStatus { natural, implant, none, undetermined };

/// Signal in columns along the eye's axis: one on it and eight round it, so that an axis some degrees off misses no lens.
struct LensProfile {
    static constexpr double step_mm = 0.25;
    std::vector<std::vector<double>> columns{};  ///< from the globe's centre forward; means of discs of 1.5 mm radius
    double outer_radius_mm = 0.0;                ///< of the globe
    double voxel_mm = 0.0;                       ///< extent of a voxel along the axis
};
LensProfile read_lens_profile(const VoxelGrid& grid, const Globe& globe);

/// CT: how far watery fluid reaches along the axis between what fills the globe and the lids, mm: the anterior chamber. A ball implanted instead of an eye has none.
double watery_chamber_mm(const LensProfile& profile);

struct LensOpinion {
    LensStatus kind = LensStatus::undetermined;
    std::string why{};   ///< in words
};

/// `behind`: the signal of what fills the globe behind the lens, where that is even; `orbit`: MR, the brightest tissue round the back of the globe.
LensOpinion judge_lens(const LensProfile& profile, Modality modality, SeriesRole role, std::optional<double> behind, double orbit);

/// The part of the cavity that lies behind the lens, as `judge_lens` wants it; nothing where a level may cross it.
std::optional<double> signal_behind_lens(const CavityReading& cavity, PatientVector anterior, PatientVector down);

/// What all series of a visit say of one eye together: those that tell must agree.
LensOpinion joined(const std::vector<LensOpinion>& opinions);

}  // namespace perisclera
