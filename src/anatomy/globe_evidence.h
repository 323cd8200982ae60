// SPDX-License-Identifier: Apache-2.0
#pragma once
// What speaks for a ball being a globe, as the logarithm of a weight: 0 for a flawless one, below 0 for what is amiss. Weights are our own choice, set on drawn patients
// (tests/globes.sh) and held against real heads.
#include "perisclera/anatomy/globe_finder.h"

namespace perisclera {

double evidence_for(const GlobeCandidate& candidate);

/// Of two as a pair of eyes; `likeness` of the halves of the head that they part, if known. Nothing where their places alone forbid it.
std::optional<double> evidence_for_pair(const GlobeCandidate& right, const GlobeCandidate& left);
double evidence_of_mirror(std::optional<double> likeness);

/// Beside a globe: is this one too, or what fills a socket without one?
bool stands_for_a_globe(const GlobeCandidate& candidate, Modality modality);

}  // namespace perisclera
