// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a program of its own draws for the report: surfaces in grey under a light beside the viewer, seen from afar without perspective.
// It crosses between the two programs as plain text, so that either can be tried alone; pictures come back as binary portable graymaps
// (PGM, "P5", of Netpbm), one behind the other. Lengths are mm in any one frame; nothing here says whose eye it is.
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace perisclera::scene {

using Place = std::array<double, 3>;

/// A surface. Triangles run anticlockwise as seen from outside; their backs are not drawn.
struct Surface {
    double lightness;          ///< 0 black to 1 white, of what faces the light
    double opacity;            ///< 1: solid; what is less lets solid surfaces shine through
    bool ruled;                ///< with darker lines where x = 0 turns by twelfths round z, and at z = 0: clock hours and equator of an eye
    std::vector<std::array<float, 3>> corners{};
    std::vector<std::array<std::uint32_t, 3>> triangles{};
};

/// A square view of the origin, y upwards as far as it can be.
struct Scene {
    int pixels;                ///< width and height of the picture
    double half_width;         ///< mm from its middle to its border
    Place towards;             ///< from the origin to the viewer, of any length; not along y
    std::vector<Surface> surfaces{};
};

/// Where a place comes to lie: pixels from the upper left corner of the picture, and mm towards the viewer.
struct OnPicture {
    double x, y, nearer;
};
OnPicture on_picture(const Scene& scene, const Place& place);

/// Row after row from the top, 0 black to 255 white.
struct GreyPicture {
    int width, height;
    std::vector<std::uint8_t> bytes{};
};

std::string to_text(const std::vector<Scene>& scenes);
/// Nothing where the text is cut short, holds what is no number, a corner that is not there or more than can be drawn.
std::optional<std::vector<Scene>> scenes_from_text(std::string_view text);

std::string to_graymaps(const std::vector<GreyPicture>& pictures);
/// Exactly as many as there are scenes, each as large as its scene asks for and of more than one grey; nothing else is let in from
/// another program.
std::optional<std::vector<GreyPicture>> graymaps_of(const std::vector<Scene>& scenes, std::string_view bytes);

}  // namespace perisclera::scene
