// SPDX-License-Identifier: Apache-2.0
#pragma once
// The sign of inflammation that needs MR, which inflammation.cpp joins.
#include "perisclera/segmentation/inflammation.h"

namespace perisclera {

/// Both eyes in one series.
struct BothEyes {
    const EyeView& own;
    const EyeView& fellow;
};

/// Fluid that touches the elements: bright on T2, dark on T1, and nothing alike near the fellow's mirrored place. `t1`: fat bright, without contrast agent.
SignReading collection(const BothEyes& t2, const BothEyes& t1, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow);

}  // namespace perisclera
