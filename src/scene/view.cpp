// SPDX-License-Identifier: Apache-2.0
#include <cmath>

#include "perisclera/scene/scene.h"

namespace perisclera::scene {

namespace {

double dot(const Place& a, const Place& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }

}  // namespace

OnPicture on_picture(const Scene& scene, const Place& place) {
    const double length = std::sqrt(dot(scene.towards, scene.towards));
    const Place nearer{scene.towards[0] / length, scene.towards[1] / length, scene.towards[2] / length};
    // The upright is y without its share towards the viewer; the third axis, to the right, is the cross product of both.
    const double level = std::hypot(nearer[0], nearer[2]);
    const Place upright{-nearer[1] * nearer[0] / level, level, -nearer[1] * nearer[2] / level}, right{nearer[2] / level, 0.0, -nearer[0] / level};
    const double scale = scene.pixels / (2.0 * scene.half_width), middle = scene.pixels / 2.0;
    return {middle + scale * dot(right, place), middle - scale * dot(upright, place), dot(nearer, place)};
}

}  // namespace perisclera::scene
