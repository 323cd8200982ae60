// SPDX-License-Identifier: Apache-2.0
#pragma once
// Do the other series of the visit agree that a mass displaces fat in this place? What two series show is seldom an
// accident of one of them: a slice that cuts a muscle along its face, an eye turned aside.
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

/// Do two elements lie over the same columns of the grid, within what the eye frames of two series agree to?
bool same_columns(const FoundElement& a, const FoundElement& b);

struct MassSupport {
    enum Kind {
        confirmed,     ///< another series shows it too
        explained,     ///< it lies on an element that CT shows as such
        alone,         ///< no other series could tell, and this one shows it clearly
        contradicted,  ///< another series could tell and does not show it
        disputed,      ///< one other series shows it, another denies it
        faint,         ///< another series shows it too, but both show little
        too_little     ///< no other series could tell, and this one shows little
    } kind;
    std::vector<std::size_t> seen_in;  ///< the views that confirm it
};

/// `view` is the index of the series that shows the mass; `found[i]` are the elements of views[i].
MassSupport support_of(const std::vector<const EyeView*>& views, const std::vector<std::vector<FoundElement>>& found, std::size_t view, const FoundElement& mass);

}  // namespace perisclera
