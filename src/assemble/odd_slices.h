// SPDX-License-Identifier: Apache-2.0
#pragma once
// Slices of one stack that contradict the others in what a scanner states alike on all: a damaged or exchanged file shows by it.
#include <string>
#include <vector>

#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// The first slice that agrees with most others in most attributes: what it says is said of the series. Precondition: not empty.
const SliceHeader& typical_slice(const std::vector<SliceHeader>& stack);

/// "1 of 40 slices states another tube voltage than the others", for each attribute in which a few slices stand apart. What varies
/// from slice to slice is no contradiction: a scale that follows the image is lawful.
std::vector<std::string> odd_slices(const std::vector<SliceHeader>& stack);

}  // namespace perisclera
