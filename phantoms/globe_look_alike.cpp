// SPDX-License-Identifier: Apache-2.0
#include "globe_look_alike.h"

#include <cmath>

#include "rectus_clock.h"

namespace perisclera::phantoms {

namespace {

/// Part of a plaque's thickness that lies in the sclera, as a share of the sclera's there: it thickens the wall outwards more than inwards.
constexpr double share_of_sclera = 0.8;
constexpr double before_insertion_mm = 0.5;     // from a plaque's edge to the tendon (row 2.21: just in front of it)
constexpr double bleb_beyond_plate = 1.2;       // a bleb is so much longer and wider than the plate beneath

struct Place {
    double hour, limbus_mm;
};

/// Without fragments, overlap and the like; `form` segmental for an even thickness, irregular for an ellipsoid.
ElementShape solid(const GlobeShape& globe, Form form, Place at, std::array<double, 3> size_mm, double indentation_mm) {
    Element e{};
    e.form = form;
    e.section = form == Form::segmental ? Section::rectangle : Section::ellipse;
    const double half_hours = size_mm[0] / 2.0 / (globe.radius * std::sin(globe.polar_angle(at.limbus_mm))) * 6.0 / pi;
    e.from_hour = std::fmod(at.hour - half_hours + 12.0, 12.0);
    e.to_hour = std::fmod(at.hour + half_hours, 12.0);
    e.limbus_mm = at.limbus_mm;
    e.width_mm = size_mm[1];
    e.thickness_mm = size_mm[2];
    e.indentation_mm = indentation_mm;
    e.lumpiness = 0.0;
    return {e, globe};
}

EyeVector direction(const GlobeShape& globe, Place at) {
    const double polar = globe.polar_angle(at.limbus_mm), clock = at.hour * pi / 6.0;
    return {std::sin(polar) * std::sin(clock), std::sin(polar) * std::cos(clock), std::cos(polar)};
}

}  // namespace

std::vector<GlobePart> parts_on_globe(Eye eye, const EyeState& state, const GlobeShape& globe, const ScleralProfile& sclera) {
    std::vector<GlobePart> parts;
    for (std::size_t i = 0; i < state.look_alikes.size(); ++i) {
        const LookAlike& l = state.look_alikes[i];
        switch (l.kind) {
            case LookAlikeKind::oil_pocket:
                parts.push_back({i, Tissue::silicone_oil, false, solid(globe, Form::irregular, {*l.hour, *l.limbus_mm}, l.size_mm, 0.0)});
                break;
            case LookAlikeKind::cyst:
                parts.push_back({i, Tissue::aqueous, false, solid(globe, Form::irregular, {*l.hour, *l.limbus_mm}, l.size_mm, 0.0)});
                break;
            case LookAlikeKind::collection: {
                const Place at{*l.hour, *l.limbus_mm};
                const auto& [along, across, thickness] = l.size_mm;
                parts.push_back({i, Tissue::pus, false, solid(globe, Form::irregular, at, l.size_mm, 0.0), true});
                if (l.rim_mm > 0.0) {
                    const std::array size{along + 2.0 * l.rim_mm, across + 2.0 * l.rim_mm, thickness + l.rim_mm};
                    parts.push_back({i, Tissue::mucosa, false, solid(globe, Form::irregular, at, size, 0.0), true});
                }
                break;
            }
            case LookAlikeKind::scleral_plaque: {
                const Rectus muscle = l.lateral ? Rectus::lateral : Rectus::medial;
                const Place at{rectus_clock_hour(eye, muscle), state.anatomy.rectus(muscle).insertion_mm - before_insertion_mm - l.size_mm[1] / 2.0};
                parts.push_back({i, Tissue::plaque, true, solid(globe, Form::irregular, at, l.size_mm, share_of_sclera * sclera.thickness(direction(globe, at)))});
                break;
            }
            case LookAlikeKind::drainage_device: {
                // Row 2.12: usually above and to the temple.
                const Place at{l.hour.value_or(eye == Eye::right ? 10.5 : 1.5), *l.limbus_mm};
                const auto& [along, across, thickness] = l.size_mm;
                const Tissue plate = l.material == LookAlikeMaterial::silicone ? Tissue::loaded_silicone : Tissue::polypropylene;
                parts.push_back({i, plate, false, solid(globe, Form::segmental, at, l.size_mm, 0.0)});
                if (l.bleb_mm > 0.0) {
                    const std::array size{bleb_beyond_plate * along, bleb_beyond_plate * across, thickness + l.bleb_mm};
                    parts.push_back({i, Tissue::aqueous, false, solid(globe, Form::irregular, at, size, 0.0)});
                }
                break;
            }
            default: break;
        }
    }
    return parts;
}

}  // namespace perisclera::phantoms
