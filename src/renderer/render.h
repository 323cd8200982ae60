// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "perisclera/scene/scene.h"

namespace perisclera::renderer {

/// Draws on the display that the environment names, out of sight. Without one the drawing library ends the process.
std::vector<scene::GreyPicture> render(const std::vector<scene::Scene>& scenes);

}  // namespace perisclera::renderer
