// SPDX-License-Identifier: Apache-2.0
#include "element_capsule.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "random_field.h"

namespace perisclera::phantoms {

namespace {

constexpr std::uint64_t patches_key = 0x63616c6369756du;

Element with_capsule(Element e, const GlobeShape& globe) {
    const double c = e.capsule_mm;
    e.width_mm += 2.0 * c;
    e.thickness_mm += 2.0 * c;
    e.indentation_mm += c;
    e.fragments = 1;  // it holds the pieces together
    if (e.form == Form::radial) e.length_mm += 2.0 * c;
    if (e.form == Form::segmental || e.form == Form::irregular) {
        const double hours = c / (globe.radius * std::sin(globe.polar_angle(e.limbus_mm))) * 6.0 / pi;
        e.from_hour -= hours;
        e.to_hour += hours;
    }
    return e;
}

double unevenness_of(EyeVector n, double radius) { return Unevenness(patches_key).at({n.x * radius, n.y * radius, n.z * radius}); }

/// What the unevenness must exceed so that this share of the directions of the outline does.
double threshold(double share, const ElementShape& outline, double radius) {
    constexpr double degree = pi / 180.0;
    std::vector<double> values;
    for (double polar = degree; polar < pi; polar += 2.0 * degree)
        for (double clock = 0.0; clock < 2.0 * pi; clock += 2.0 * degree) {
            const EyeVector n{std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
            const double below_the_top = outline.lift(n) - 1e-6;
            if (outline.contains(n, below_the_top)) values.push_back(unevenness_of(n, radius));
        }
    std::sort(values.begin(), values.end());
    const auto uncalcified = static_cast<std::size_t>((1.0 - share) * static_cast<double>(values.size()));
    return uncalcified < values.size() ? values[uncalcified] : std::numeric_limits<double>::infinity();
}

}  // namespace

ElementCapsule::ElementCapsule(const Element& element, const GlobeShape& globe)
    : outline_(with_capsule(element, globe), globe),
      radius_(globe.radius),
      calcified_at_least_(threshold(element.calcified_share, outline_, globe.radius)) {}

Tissue ElementCapsule::tissue(EyeVector n) const { return unevenness_of(n, radius_) >= calcified_at_least_ ? Tissue::cortical_bone : Tissue::dura; }

}  // namespace perisclera::phantoms
