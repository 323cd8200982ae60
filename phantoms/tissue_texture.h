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
    explicit TissueTexture(const Scan& scan) : scan_(scan), fine_(scan.texture_key), coarse_(mixed(scan.texture_key)) {}
    /// To another place of the head, which stands for a pixel about it.
    TissueTexture& move_to(HeadPoint place) {
        place_ = place;
        unevenness_ = septa_ = std::nan("");
        return *this;
    }
    /// HU or MR stored units of this label there, in a series of the scan's visit.
    [[nodiscard]] double shown(Label of, const Appearance& appearance) {
        const double value = static_cast<double>(appearance.value[of]), unevenness = static_cast<double>(appearance.unevenness[of]);
        if (scan_.texture <= 0.0 || unevenness == 0.0) return value;
        if (std::isnan(unevenness_)) unevenness_ = scan_.texture * fine_.at(place_);
        const double uneven = value + unevenness_ * unevenness;
        if (of != label(Tissue::fat)) return uneven;
        if (std::isnan(septa_)) septa_ = std::min(1.0, scan_.texture * septa());
        return std::lerp(uneven, static_cast<double>(appearance.value[label(Tissue::dura)]), septa_);
    }

private:
    /// Share of connective tissue: sheets where a smooth random field passes zero, lobules of some 6 mm between them. Sizes are assumed.
    [[nodiscard]] double septa() {
        constexpr double coarser = 2.4, half_width = 0.18, most = 0.6;
        const double f = coarse_.at({place_.x / coarser, place_.y / coarser, place_.z / coarser}) / half_width;
        return most * std::exp(-f * f);
    }

    const Scan& scan_;
    Unevenness fine_, coarse_;
    HeadPoint place_{0.0, 0.0, 0.0};
    double unevenness_ = std::nan(""), septa_ = std::nan("");  ///< found when first asked for
};

}  // namespace perisclera::phantoms
