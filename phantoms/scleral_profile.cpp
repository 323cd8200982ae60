// SPDX-License-Identifier: Apache-2.0
#include "scleral_profile.h"

#include <algorithm>
#include <cmath>

#include "rectus_clock.h"

namespace perisclera::phantoms {

namespace {

// Vurgese 2012 names the ora, the equator, the middle of the posterior part and the pole; the ora lies some 7 mm behind the limbus.
constexpr double ora_share = 0.55;
// Behind an insertion the sclera is thin for some 3 mm and back to its usual thickness 3 mm farther on. Common practice, no source.
constexpr double thin_mm = 3.0, back_mm = 3.0, edge_mm = 1.5;

/// 0.45 mm at the equator to 0.95 mm at the posterior pole (Vurgese 2012, Olsen 1998).
double usual_thickness(double cosine) { return 0.45 + 0.5 * GlobeShape::posterior_share(cosine) + 0.1 * smooth_step((cosine - 0.6) / 0.3); }

}  // namespace

ScleralProfile::ScleralProfile(Eye eye, const GlobeShape& shape, const EyeAnatomy& anatomy)
    : shape_(shape), anatomy_(anatomy), clock_{}, places_{}, values_{}, thickest_(0.95) {
    for (std::size_t i = 0; i < clock_.size(); ++i) clock_[i] = rectus_clock_hour(eye, static_cast<Rectus>(i)) * pi / 6.0;
    if (!anatomy.sclera) return;
    const ScleraAnatomy& s = *anatomy.sclera;
    const double limbus = shape.limbus_polar_angle();
    places_ = {limbus, limbus + ora_share * (pi / 2.0 - limbus), pi / 2.0, 0.75 * pi, pi};
    values_ = {s.limbus_mm, s.ora_mm, s.equator_mm, s.mid_posterior_mm, s.posterior_pole_mm};
    thickest_ = *std::max_element(values_.begin(), values_.end());
}

double ScleralProfile::between_places(double polar) const {
    for (std::size_t i = 1; i < places_.size(); ++i)
        if (polar < places_[i]) return std::lerp(values_[i - 1], values_[i], smooth_step((polar - places_[i - 1]) / (places_[i] - places_[i - 1])));
    return values_.back();
}

double ScleralProfile::behind_insertion(EyeVector direction, double polar) const {
    const double clock = std::atan2(direction.x, direction.y);
    double most = 0.0;
    for (std::size_t i = 0; i < clock_.size(); ++i) {
        const RectusAnatomy& rectus = anatomy_.recti[i];
        const double behind = shape_.radius * (polar - shape_.limbus_polar_angle()) - rectus.insertion_mm;
        const double aside = std::abs(std::remainder(clock - clock_[i], 2.0 * pi)) * shape_.radius * std::sin(polar);
        const double along = smooth_step(behind / 0.5) * (1.0 - smooth_step((behind - thin_mm) / back_mm));
        most = std::max(most, along * (1.0 - smooth_step((aside - rectus.insertion_width_mm / 2.0 + edge_mm) / edge_mm)));
    }
    return most;
}

double ScleralProfile::thickness(EyeVector direction) const {
    if (!anatomy_.sclera) return usual_thickness(direction.z);
    const double polar = std::acos(std::clamp(direction.z, -1.0, 1.0));
    const double usual = between_places(polar);
    return std::lerp(usual, std::min(usual, anatomy_.sclera->behind_insertions_mm), behind_insertion(direction, polar));
}

}  // namespace perisclera::phantoms
