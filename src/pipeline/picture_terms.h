// SPDX-License-Identifier: Apache-2.0
#pragma once
// What all pictures of the report share: letters of the patient's directions, and the grey window.
#include <string>

#include "perisclera/alignment/eye_views.h"

namespace perisclera {

/// The patient's direction that a unit vector points to: one letter of R, L, A, P, S, I, or two where it is well between.
std::string letters_of(PatientVector d);

struct Window {
    float low, high;
};

/// Soft tissue on CT; on MR from black to a little above the brighter of orbit and vitreous.
Window window_of(const EyeView& view);

}  // namespace perisclera
