// SPDX-License-Identifier: Apache-2.0
#pragma once
// The fibrous capsule round an old hydrogel, calcified in patches. It follows the element's outline at its own thickness, lifts tissue
// and presses the wall as the element does, and is not counted as the element's volume.
#include "element_shape.h"
#include "tissue.h"

namespace perisclera::phantoms {

class ElementCapsule {
public:
    /// Precondition: the element has a capsule.
    ElementCapsule(const Element& element, const GlobeShape& globe);
    /// Element and capsule together.
    [[nodiscard]] const ElementShape& outline() const { return outline_; }
    /// What lies in the capsule in this direction.
    [[nodiscard]] Tissue tissue(EyeVector direction) const;

private:
    ElementShape outline_;
    double radius_, calcified_at_least_;
};

}  // namespace perisclera::phantoms
