// SPDX-License-Identifier: Apache-2.0
#pragma once
// Eyes and orbits as they vary between people, drawn by a seed from published figures (drawn_anatomy.cpp names them). Both eyes of a
// patient are alike and differ a little, as eyes do.
#include <array>
#include <cstdint>
#include <string_view>

#include "scenario.h"

namespace perisclera::phantoms {

/// Which kind of eye to draw.
enum class EyeKind {
    usual,       ///< as in people without need of glasses
    short_eye,   ///< far-sighted
    long_eye,    ///< near-sighted, the whole globe larger
    myopic,      ///< very near-sighted, the back drawn out
    staphyloma,  ///< myopic, with a bulge of the posterior wall
    shrunken     ///< after long disease
};

struct DrawnPatient {
    std::uint64_t seed;
    std::string_view sex;          ///< F, M or O: then drawn
    std::array<EyeKind, 2> kinds;  ///< right, left
};

/// Both eyes without elements, filled with vitreous. The same patient gives the same figures.
std::array<EyeState, 2> drawn_eyes(const DrawnPatient& patient);

}  // namespace perisclera::phantoms
