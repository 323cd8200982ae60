// SPDX-License-Identifier: Apache-2.0
#pragma once
// What makes one tissue differ from place to place: unevenness, and in fat the septa of connective tissue between its lobules.
#include <algorithm>
#include <cmath>

#include "random_field.h"
#include "scanner.h"

namespace perisclera::phantoms {

class TissueTexture {
public:
    /// At one place of the head, which stands for a pixel about it.
    TissueTexture(const Scan& scan, HeadPoint place) : scan_(scan), place_(place) {}
    /// HU or MR stored units of this label there, in a series of the scan's visit.
    [[nodiscard]] double shown(Label of, const Appearance& appearance) {
        const double value = static_cast<double>(appearance.value[of]), unevenness = static_cast<double>(appearance.unevenness[of]);
        if (scan_.texture <= 0.0 || unevenness == 0.0) return value;
        if (std::isnan(unevenness_)) unevenness_ = scan_.texture * unevenness_at(place_, scan_.texture_key);
        const double uneven = value + unevenness_ * unevenness;
        if (of != label(Tissue::fat)) return uneven;
        if (std::isnan(septa_)) septa_ = std::min(1.0, scan_.texture * septa_at(place_, mixed(scan_.texture_key)));
        return std::lerp(uneven, static_cast<double>(appearance.value[label(Tissue::dura)]), septa_);
    }

private:
    /// Share of connective tissue: sheets where a smooth random field passes zero, lobules of some 6 mm between them. Sizes are assumed.
    static double septa_at(HeadPoint place, std::uint64_t key) {
        constexpr double coarser = 2.4, half_width = 0.18, most = 0.6;
        const double f = unevenness_at({place.x / coarser, place.y / coarser, place.z / coarser}, key) / half_width;
        return most * std::exp(-f * f);
    }

    const Scan& scan_;
    HeadPoint place_;
    double unevenness_ = std::nan(""), septa_ = std::nan("");  ///< found when first asked for
};

}  // namespace perisclera::phantoms
