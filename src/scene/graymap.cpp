// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <functional>

#include "perisclera/scene/scene.h"

namespace perisclera::scene {

namespace {

std::string head_of(int width, int height) { return "P5\n" + std::to_string(width) + " " + std::to_string(height) + "\n255\n"; }

}  // namespace

std::string to_graymaps(const std::vector<GreyPicture>& pictures) {
    std::string out;
    for (const GreyPicture& picture : pictures) {
        out += head_of(picture.width, picture.height);
        out.append(picture.bytes.begin(), picture.bytes.end());
    }
    return out;
}

std::optional<std::vector<GreyPicture>> graymaps_of(const std::vector<Scene>& scenes, std::string_view bytes) {
    std::vector<GreyPicture> pictures;
    for (const Scene& scene : scenes) {
        const std::string head = head_of(scene.pixels, scene.pixels);
        const std::size_t size = static_cast<std::size_t>(scene.pixels) * static_cast<std::size_t>(scene.pixels);
        if (!bytes.starts_with(head) || bytes.size() - head.size() < size) return std::nullopt;
        const std::string_view pixels = bytes.substr(head.size(), size);
        // Where drawing fails without a word, the picture is blank.
        if (std::adjacent_find(pixels.begin(), pixels.end(), std::not_equal_to<>()) == pixels.end()) return std::nullopt;
        pictures.push_back({scene.pixels, scene.pixels, {pixels.begin(), pixels.end()}});
        bytes.remove_prefix(head.size() + size);
    }
    if (!bytes.empty()) return std::nullopt;
    return pictures;
}

}  // namespace perisclera::scene
