// SPDX-License-Identifier: Apache-2.0
#include "perisclera/alignment/role_in_image.h"

#include <algorithm>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

// Half: late echoes of a train keep fat bright.
constexpr double least_on_t2 = 0.5;

bool in_both(const std::array<EyeBrightness, 2>& eyes, bool (*looks)(const EyeBrightness&)) {
    return std::all_of(eyes.begin(), eyes.end(), [&](const EyeBrightness& eye) { return eye.orbit > 0.0 && looks(eye); });
}

// Bounds from the relaxation times of orbital fat (95 and 51 ms), muscle (1200 and 32 ms) and vitreous (3600 and 140 ms; 1.5 T,
// doi 10.1002/mrm.27594 for fat and vitreous, common textbook values for muscle) at usual times: TR 400 to 700, TE 8 to 20 ms for T1,
// TR 3000 to 6000, TE 70 to 120 ms for T2; widened for blur between muscle and fat, with four real heads in view.

// Where fluid is suppressed nothing is left of the vitreous; on T1 a tenth of fat and more is.
bool looks_t1(const EyeBrightness& eye) {
    return eye.vitreous > 0.1 * eye.orbit && eye.vitreous < 0.8 * eye.muscle && eye.muscle > 0.25 * eye.orbit && eye.muscle < 0.75 * eye.orbit;
}

// Fat that is not suppressed tells T2 from STIR, from suppression and from maps of diffusion: there fat is dark, and the brightest of
// the orbit is muscle, a third of the vitreous and less.
bool looks_t2(const EyeBrightness& eye) { return eye.vitreous > 1.3 * eye.orbit && eye.orbit > 0.4 * eye.vitreous && eye.muscle < 0.6 * eye.orbit; }

}  // namespace

EyeBrightness brightness(const PolarBlock& block) { return {block.globe().interior_mean, block.orbit_signal(0.9), block.orbit_signal(0.25)}; }

std::optional<SeriesRole> role_by_image(const std::array<EyeBrightness, 2>& eyes) {
    if (in_both(eyes, looks_t1)) return SeriesRole::t1;
    if (in_both(eyes, looks_t2)) return SeriesRole::t2;
    return std::nullopt;
}

std::optional<std::string> contradiction(SeriesRole role, const std::array<EyeBrightness, 2>& eyes) {
    const auto both = [&](auto looks) { return std::all_of(eyes.begin(), eyes.end(), [&](const EyeBrightness& eye) { return eye.orbit > 0.0 && looks(eye); }); };
    switch (role) {
        case SeriesRole::t1:
        case SeriesRole::t1_contrast:
            if (both([](const EyeBrightness& eye) { return eye.vitreous > eye.orbit; }))
                return say("series.unlike_t1");
            return std::nullopt;
        case SeriesRole::t2:
        case SeriesRole::t2_fatsat:
        case SeriesRole::stir:
            if (both([](const EyeBrightness& eye) { return eye.vitreous < least_on_t2 * eye.orbit; }))
                return say("series.unlike_t2");
            return std::nullopt;
        default: return std::nullopt;
    }
}

}  // namespace perisclera
