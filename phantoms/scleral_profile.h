// SPDX-License-Identifier: Apache-2.0
#pragma once
// How thick the sclera is in a direction of the eye: thin at the equator, thickest at the posterior pole, and thinnest where a rectus
// has just inserted.
#include "anatomy.h"
#include "perisclera/core/eye.h"

namespace perisclera::phantoms {

class ScleralProfile {
public:
    ScleralProfile(Eye eye, const GlobeShape& shape, const EyeAnatomy& anatomy);
    /// mm, along the radius; `direction` is a unit vector in eye coordinates.
    [[nodiscard]] double thickness(EyeVector direction) const;
    /// Nowhere thicker.
    [[nodiscard]] double thickest() const { return thickest_; }

private:
    [[nodiscard]] double between_places(double polar) const;
    /// How far the thinning behind the insertions goes here: 0 not at all, 1 wholly.
    [[nodiscard]] double behind_insertion(EyeVector direction, double polar) const;

    GlobeShape shape_;
    EyeAnatomy anatomy_;
    std::array<double, 4> clock_;  ///< of the recti, radians from superior towards the patient's left
    std::array<double, 5> places_, values_;
    double thickest_;
};

}  // namespace perisclera::phantoms
