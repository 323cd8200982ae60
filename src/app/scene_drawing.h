// SPDX-License-Identifier: Apache-2.0
#pragma once
// Scenes are drawn by perisclera-scene, which lies beside this program, on a display of its own that shows nothing (Xvfb, with
// software drawing, so that one machine draws the same bytes each time). Whatever happens to either, this run goes on without pictures.
#include <chrono>
#include <filesystem>
#include <future>
#include <vector>

#include "perisclera/scene/scene.h"

namespace perisclera::app {

/// A program that lies in the same folder as this one; empty where that is not known.
std::filesystem::path beside_this_program(const char* program);

class SceneDrawing {
public:
    /// Begins at once, beside what else is done; nothing is started for no scenes. `program`: perisclera-scene, by its absolute path. It takes a second on an idle machine.
    SceneDrawing(std::vector<scene::Scene> scenes, const std::filesystem::path& program, std::chrono::seconds time_limit = std::chrono::seconds(30));
    /// One for each scene, or none. Waits, at the longest until the time limit is over.
    std::vector<scene::GreyPicture> pictures();

private:
    std::future<std::vector<scene::GreyPicture>> drawn_;
};

}  // namespace perisclera::app
