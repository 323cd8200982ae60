// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/role_in_image.h"

#include <algorithm>

namespace perisclera {

namespace {

// Half: late echoes of a train keep fat bright.
constexpr double least_on_t2 = 0.5;

}  // namespace

std::optional<std::string> contradiction(SeriesRole role, const std::array<EyeBrightness, 2>& eyes) {
    const auto both = [&](auto looks) { return std::all_of(eyes.begin(), eyes.end(), [&](const EyeBrightness& eye) { return eye.orbit > 0.0 && looks(eye); }); };
    switch (role) {
        case SeriesRole::t1:
        case SeriesRole::t1_contrast:
            if (both([](const EyeBrightness& eye) { return eye.vitreous > eye.orbit; }))
                return "the vitreous of both eyes is brighter than all round it, as on no T1-weighted image: the role may be wrong";
            return std::nullopt;
        case SeriesRole::t2:
        case SeriesRole::t2_fatsat:
        case SeriesRole::stir:
            if (both([](const EyeBrightness& eye) { return eye.vitreous < least_on_t2 * eye.orbit; }))
                return "the vitreous of both eyes is darker than the tissue round it, as on no T2-weighted image: the role may be wrong";
            return std::nullopt;
        default: return std::nullopt;
    }
}

}  // namespace perisclera
