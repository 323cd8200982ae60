// SPDX-License-Identifier: Apache-2.0
#pragma once
// One globe with its explants and the look-alikes on it: which label lies at a point in eye coordinates, and how far the tissue around it is pushed
// outwards. Tissue is displaced, never overwritten by an element and never in the same place.
#include <optional>
#include <vector>

#include "element_capsule.h"
#include "element_shape.h"
#include "eyeless_socket.h"
#include "fluid_level.h"
#include "globe_look_alike.h"
#include "globe_shape.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/frames.h"
#include "scleral_profile.h"
#include "tissue.h"

namespace perisclera::phantoms {

/// The outer surface that these figures describe.
GlobeShape shape_of(const EyeState& state);

class EyeModel {
public:
    /// `first_label` is the label of this eye's first element. `down`: where gravity points, by which what fills part of the globe floats or sinks;
    /// without a word about it the patient lies supine and looks up.
    EyeModel(Eye eye, const EyeState& state, Label first_label, EyeVector down = {0.0, 0.0, -1.0});

    /// The label of the globe or an element; nothing if the point lies in the tissue around.
    [[nodiscard]] std::optional<Label> label_at(EyePoint point) const;
    /// The label of all points within `radius` of `middle`, if that is certain.
    [[nodiscard]] std::optional<Label> label_throughout(EyePoint middle, double radius) const;
    /// Where the tissue now at `point` (outside globe and elements) lay before it was displaced; nothing if the point lies in the
    /// cleft beside an element, which fat fills.
    [[nodiscard]] std::optional<EyePoint> before_displacement(EyePoint point) const;
    /// Beyond this distance from the centre the eye changes nothing.
    [[nodiscard]] double reach_mm() const { return reach_; }
    /// Thin layers lie between these distances from the centre.
    [[nodiscard]] std::array<double, 2> thin_layers_mm() const { return thin_; }
    [[nodiscard]] const GlobeShape& shape() const { return shape_; }
    [[nodiscard]] const std::vector<ElementShape>& elements() const { return elements_; }
    [[nodiscard]] const std::vector<GlobePart>& look_alikes() const { return look_alikes_; }
    /// Is there no globe, and what is there instead?
    [[nodiscard]] const std::optional<EyelessSocket>& socket() const { return socket_; }
    /// The level of what fills part of the vitreous cavity, and the cavity's volume; of no height where it fills all.
    [[nodiscard]] FluidLevel contents_level() const;
    /// Along gravity from the centre, where contents fill a part only.
    [[nodiscard]] std::optional<double> level_mm() const { return contents_share_ < 1.0 && !socket_ ? std::optional(level_mm_) : std::nullopt; }

private:
    /// With the vitreous cavity as vitreous, whatever fills it.
    [[nodiscard]] std::optional<Label> structure_at(EyePoint point) const;
    [[nodiscard]] Label inside_globe(EyePoint point, double radius, double outer, EyeVector direction) const;
    [[nodiscard]] Tissue filling_at(EyePoint point) const;
    /// Does anything lie on the globe?
    [[nodiscard]] bool bare() const { return elements_.empty() && look_alikes_.empty(); }
    /// How far everything on the globe together lifts tissue in this direction.
    [[nodiscard]] double lift(EyeVector direction) const;
    [[nodiscard]] double dent(EyeVector direction) const;
    void lay_drops(const EyeState& state);
    /// Where the lens' front and its middle lie on the axis.
    [[nodiscard]] double front_of_lens() const;
    [[nodiscard]] double lens_z() const;

    struct Drop {
        EyePoint centre;
        double radius;
    };
    GlobeShape shape_;
    ScleralProfile sclera_;
    std::vector<ElementShape> elements_;
    std::vector<ElementCapsule> capsules_;
    std::vector<GlobePart> look_alikes_;
    std::optional<EyelessSocket> socket_;
    Label first_label_;
    Tissue contents_;
    double contents_share_;
    EyeVector down_;
    double level_mm_ = 0.0;  ///< along down_, of contents that fill a part only
    std::vector<Drop> drops_;
    Lens lens_;
    double reach_ = 0.0;
    double deepest_ = 0.0;  ///< no element reaches nearer to the centre
    std::array<double, 2> thin_{};
};

}  // namespace perisclera::phantoms
