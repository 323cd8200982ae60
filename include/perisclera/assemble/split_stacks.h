// SPDX-License-Identifier: Apache-2.0
#pragma once
// One series may hold several stacks: echoes, diffusion weightings, phases, planes. They are told apart before any becomes a volume.
#include <string>
#include <vector>

#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// Slices of one series that differ in orientation, size, spacing, kind, echo, diffusion weighting, kernel or phase belong to
/// different stacks. Where several images still share their places, the echo number, the acquisition number or the trigger time parts them, if
/// it parts all of them. The order of stacks and slices does not depend on the order given.
std::vector<std::vector<SliceHeader>> split_into_stacks(std::vector<SliceHeader> slices);

/// By what the stacks differ, in words.
std::vector<std::string> differences_between(const std::vector<std::vector<SliceHeader>>& stacks);

}  // namespace perisclera
