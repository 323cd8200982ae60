// SPDX-License-Identifier: Apache-2.0
#pragma once
// What lies where a globe has been taken out: a sphere in its fibrous capsule with a prosthesis beneath the lids, or scar alone. In eye coordinates about
// the place where the globe's centre was; mm.
#include <optional>

#include "globe_shape.h"
#include "look_alike.h"
#include "tissue.h"

namespace perisclera::phantoms {

class EyelessSocket {
public:
    /// Precondition: `look_alike` is an orbital_sphere or an empty_socket.
    EyelessSocket(const LookAlike& look_alike, const GlobeShape& globe);
    /// Nothing where lids and fat fill the place.
    [[nodiscard]] std::optional<Tissue> at(EyePoint point) const;
    /// Beyond this distance from the centre it changes nothing.
    [[nodiscard]] double reach_mm() const { return front_ + 0.1; }
    /// Of the sphere, 0 where there is none.
    [[nodiscard]] double sphere_volume_mm3() const { return 4.0 / 3.0 * pi * sphere_ * sphere_ * sphere_; }
    [[nodiscard]] double shell_volume_mm3() const;

private:
    double sphere_ = 0.0;  ///< radius
    double front_;         ///< of the prosthesis, where the cornea's apex was
    double shell_ = 0.0;   ///< thickness of the prosthesis
    Tissue filling_ = Tissue::dura;
};

}  // namespace perisclera::phantoms
