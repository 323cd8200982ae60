// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which of the patient's eyes. "Not known" is std::optional<Eye>, never a third value.
#include <array>
#include <string_view>

namespace perisclera {

enum class Eye { right, left };

inline constexpr std::array<Eye, 2> both_eyes{Eye::right, Eye::left};
constexpr Eye fellow(Eye eye) { return eye == Eye::right ? Eye::left : Eye::right; }
constexpr std::string_view name(Eye eye) { return eye == Eye::right ? "right" : "left"; }
/// The sign of LPS x that points away from the nose for this eye: -1 right, +1 left.
constexpr double temporal_sign(Eye eye) { return eye == Eye::right ? -1.0 : 1.0; }

}  // namespace perisclera
