// SPDX-License-Identifier: Apache-2.0
#pragma once
// The three kinds of series that tell the materials apart: columns of the comparison plate.
#include <array>
#include <optional>
#include <string_view>

namespace perisclera::teaching {

enum class Weighting { ct, t1, t2 };
inline constexpr std::array<Weighting, 3> all_weightings{Weighting::ct, Weighting::t1, Weighting::t2};

/// Of a role's word in report.json. Series after contrast agent count for none: what enhances is no longer T1 alone.
inline std::optional<Weighting> weighting_of(std::string_view role) {
    if (role == "ct_soft" || role == "ct_bone") return Weighting::ct;
    if (role == "t1" || role == "t1_fatsat") return Weighting::t1;
    if (role == "t2" || role == "t2_fatsat") return Weighting::t2;
    return std::nullopt;
}

}  // namespace perisclera::teaching
