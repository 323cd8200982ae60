// SPDX-License-Identifier: Apache-2.0
// perisclera-scene: scenes on standard input, pictures on standard output. A program of its own because its drawing library needs a
// display and ends the process where something is amiss with it. Status 0: done; 2: the text holds no scenes; 5: not written.
#include <cstdio>
#include <string>
#include <vector>

#include "src/renderer/render.h"

int main() {
    using namespace perisclera;
    std::string text;
    std::vector<char> part(1u << 16);
    while (const std::size_t count = std::fread(part.data(), 1, part.size(), stdin)) text.append(part.data(), count);
    const auto scenes = scene::scenes_from_text(text);
    if (!scenes) return 2;
    const std::string bytes = scene::to_graymaps(renderer::render(*scenes));
    return std::fwrite(bytes.data(), 1, bytes.size(), stdout) == bytes.size() && std::fflush(stdout) == 0 ? 0 : 5;
}
