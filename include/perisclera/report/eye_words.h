// SPDX-License-Identifier: Apache-2.0
#pragma once
// The eye as people read it; the file formats' own word is name() of core/eye.h.
#include <string>

#include "perisclera/core/eye.h"
#include "perisclera/core/text.h"

namespace perisclera::report {

/// "Right eye", as a heading.
inline std::string side_in_words(Eye eye) { return say(eye == Eye::right ? "side.right" : "side.left"); }
/// "right eye", within a sentence.
inline std::string in_words(Eye eye) { return say(eye == Eye::right ? "eye.right" : "eye.left"); }

}  // namespace perisclera::report
