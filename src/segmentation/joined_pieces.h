// SPDX-License-Identifier: Apache-2.0
#pragma once
// A body that goes far round the eye may be found in pieces, where gland, muscle or noise part them. Each is outlined on all series; where the outlines meet, nothing that the
// images show lies between, and the pieces are one body.
#include <vector>

#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

/// The same elements, those of which the outlines meet and whose own signals are alike as one, with what the outlines fill. All have to be seen
/// on one view. Other arguments as outline_of_body.
std::vector<EyeElement> joined_pieces(std::vector<EyeElement> pieces, const std::vector<const EyeView*>& views, const std::vector<const EyeView*>& fellow,
                                      const std::vector<const FoundElement*>& of_fellow);

}  // namespace perisclera
