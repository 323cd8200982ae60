// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace perisclera {

// Two positions this near are one place: headers carry positions to a hundredth of a millimetre or better, coarse ones to a tenth.
inline constexpr double same_place_mm = 0.01;

}  // namespace perisclera
