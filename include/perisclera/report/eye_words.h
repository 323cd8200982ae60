// SPDX-License-Identifier: Apache-2.0
#pragma once
// The eye as people read it; the file formats' own word is name() of core/eye.h.
#include <string>

#include "perisclera/core/eye.h"
#include "perisclera/core/text.h"

namespace perisclera::report {

/// "Right eye", as a heading.
inline std::string side_in_words(Eye eye) { return eye == Eye::right ? say("side.right") : say("side.left"); }
/// "right eye", within a sentence.
inline std::string in_words(Eye eye) { return eye == Eye::right ? say("eye.right") : say("eye.left"); }

}  // namespace perisclera::report
