// SPDX-License-Identifier: Apache-2.0
#pragma once
// What may lie behind the chamber of an eye. mm.
#include <array>

namespace perisclera {

enum class LensKind { natural, implant, none };

struct UsualLens {
    LensKind kind;
    double thickness_mm, radius_mm, chamber_mm, chamber_spread_mm;  ///< chamber: inner face of the cornea to the lens
};
// Textbook: lens 4 mm thick and 9 across, chamber 3 mm deep; an implant about a millimetre and 6 across, farther back. Spreads assumed.
inline constexpr std::array<UsualLens, 3> usual_lenses{{{LensKind::natural, 4.0, 4.6, 3.0, 0.5}, {LensKind::implant, 1.0, 3.0, 4.0, 0.7}, {LensKind::none, 0.0, 4.6, 3.5, 1.0}}};

}  // namespace perisclera
