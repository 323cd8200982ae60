// SPDX-License-Identifier: Apache-2.0
#pragma once
// The four rectus muscles of one eye in one series, behind the globe: in sections across the orbit's axis, from the cone's fat outwards, each sector by clock
// hours is searched for the body that lies between fat and the wall of the orbit. Its thickness is that of the belly, across the muscle, between the points
// half way from fat to muscle; the superior one is the group with the levator, as CT measures it (Ozgen A, Ariyurek M, AJR 1998;170:1093-1096). mm.
#include <array>
#include <optional>
#include <vector>

#include "perisclera/anatomy/globe.h"
#include "perisclera/assemble/image_series.h"

namespace perisclera {

enum class Rectus { superior, inferior, medial, lateral };
inline constexpr std::array<Rectus, 4> all_recti{Rectus::superior, Rectus::inferior, Rectus::medial, Rectus::lateral};

enum class MuscleCourse { continuous, interrupted, not_determinable };

struct RectusReading {
    Measurement<Mm> thickness = Unmeasured{"not looked at"};  ///< greatest, of the belly
    MuscleCourse course = MuscleCourse::not_determinable;     ///< from the belly forward to where it meets the globe
    std::vector<PatientPoint> middles{};                      ///< of its body, from front to back, 1 mm apart; empty where it was not found
};

/// In the order of all_recti. `other_centre`: of the fellow globe, which levels the orbit; without it the patient's axes do.
std::array<RectusReading, 4> read_recti(const VoxelGrid& grid, Modality modality, SeriesRole role, const Globe& globe, std::optional<PatientPoint> other_centre);

}  // namespace perisclera
