// SPDX-License-Identifier: Apache-2.0
#pragma once
// The fellow eye in the same series as the atlas of what is normal in this patient: whether it serves, and which of its places
// answer to a place on this eye.
#include <optional>
#include <vector>

#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

/// False where the fellow globe appears smaller than this one by more than two healthy globes of one person differ: it is shrunken,
/// or something on it of the vitreous' own signal drew its surface inwards. A height above that surface says nothing then.
bool serves_as_atlas(const PolarBlock& own, const PolarBlock& fellow);

/// For each column of this eye's grid the fellow's column that lies at the mirrored place in the head. It is the mirrored clock
/// only while both eyes look straight ahead: when they look aside, lids, gland and fat stay behind. Nothing outside the grid.
std::vector<std::optional<std::size_t>> mirrored_in_head(const PolarBlock& own, const PolarBlock& fellow);

/// Columns of the grid near which the fellow eye carries one of these elements, in mirror image, and what it pushes aside: nothing tells there what is normal.
std::vector<char> columns_opposite(const std::vector<const FoundElement*>& elements_of_fellow);

/// Does a third of the element or more lie in such columns of the fellow's?
bool lies_opposite(const FoundElement& element, const FoundElement& of_fellow);

}  // namespace perisclera
