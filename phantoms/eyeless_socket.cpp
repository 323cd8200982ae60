// SPDX-License-Identifier: Apache-2.0
#include "eyeless_socket.h"

#include <cmath>

namespace perisclera::phantoms {

namespace {

// Common practice, no source: a sphere lies a little behind where the globe did; capsule and lining are about a millimetre thick.
constexpr double set_back_mm = 1.5, capsule_mm = 1.0, lining_mm = 1.0;
const double shell_cosine = std::cos(50.0 * pi / 180.0);  // half the angle a prosthesis covers
constexpr double scar_depth_mm = 3.0;                     // behind the lining of a socket without a sphere

Tissue of(LookAlikeMaterial material) {
    if (material == LookAlikeMaterial::porous_polyethylene) return Tissue::porous_polyethylene;
    return material == LookAlikeMaterial::hydroxyapatite ? Tissue::hydroxyapatite : Tissue::acrylic;
}

}  // namespace

EyelessSocket::EyelessSocket(const LookAlike& l, const GlobeShape& globe) : front_(globe.apex_z()) {
    if (l.kind == LookAlikeKind::empty_socket) return;
    sphere_ = l.size_mm[0] / 2.0;
    shell_ = l.shell_mm;
    filling_ = of(*l.material);
}

double EyelessSocket::shell_volume_mm3() const {
    return 2.0 * pi * (1.0 - shell_cosine) * (front_ * front_ * front_ - std::pow(front_ - shell_, 3)) / 3.0;
}

std::optional<Tissue> EyelessSocket::at(EyePoint p) const {
    const double from_middle = length(p - EyePoint{0.0, 0.0, -set_back_mm});
    if (from_middle < sphere_) return filling_;
    const double r = length(p - EyePoint{0.0, 0.0, 0.0}), back_of_shell = front_ - shell_;
    const bool in_front = p.z > shell_cosine * r && r < front_;
    if (in_front && r >= back_of_shell) return Tissue::acrylic;
    if (in_front && r >= back_of_shell - lining_mm) return Tissue::mucosa;
    if (sphere_ > 0.0) return from_middle < sphere_ + capsule_mm ? std::optional(Tissue::dura) : std::nullopt;
    return in_front && r >= back_of_shell - lining_mm - scar_depth_mm ? std::optional(Tissue::dura) : std::nullopt;
}

}  // namespace perisclera::phantoms
