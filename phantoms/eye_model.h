// SPDX-License-Identifier: Apache-2.0
#pragma once
// One globe with its explants: which label lies at a point in eye coordinates, and how far the tissue around it is pushed
// outwards. Tissue is displaced, never overwritten by an element and never in the same place.
#include <optional>
#include <vector>

#include "element_capsule.h"
#include "element_shape.h"
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
    /// `first_label` is the label of this eye's first element.
    EyeModel(Eye eye, const EyeState& state, Label first_label);

    /// The label of the globe or an element; nothing if the point lies in the tissue around.
    [[nodiscard]] std::optional<Label> label_at(EyePoint point) const;
    /// Where the tissue now at `point` (outside globe and elements) lay before it was displaced; nothing if the point lies in the
    /// cleft beside an element, which fat fills.
    [[nodiscard]] std::optional<EyePoint> before_displacement(EyePoint point) const;
    /// Beyond this distance from the centre the eye changes nothing.
    [[nodiscard]] double reach_mm() const { return reach_; }
    /// Thin layers lie between these distances from the centre.
    [[nodiscard]] std::array<double, 2> thin_layers_mm() const { return thin_; }
    [[nodiscard]] const GlobeShape& shape() const { return shape_; }
    [[nodiscard]] const std::vector<ElementShape>& elements() const { return elements_; }

private:
    [[nodiscard]] Label inside_globe(EyePoint point, double radius, double outer, EyeVector direction) const;
    GlobeShape shape_;
    ScleralProfile sclera_;
    std::vector<ElementShape> elements_;
    std::vector<ElementCapsule> capsules_;
    Label first_label_;
    Tissue contents_;
    Lens lens_;
    double reach_ = 0.0;
    double deepest_ = 0.0;  ///< no element reaches nearer to the centre
    std::array<double, 2> thin_{};
};

}  // namespace perisclera::phantoms
