// SPDX-License-Identifier: Apache-2.0
#include "true_surroundings.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "phantoms/head_model.h"
#include "phantoms/head_pose.h"

namespace perisclera::surroundings {

namespace {

using namespace phantoms;

using Holds = std::function<bool(HeadPoint)>;

/// Points of the grid within `reach` of the centre, at the edge of what holds, inside it.
std::vector<HeadPoint> edge_points(HeadPoint centre, double reach, double step, const Holds& holds) {
    const int half = static_cast<int>(std::ceil(reach / step)), n = 2 * half + 1;
    std::vector<char> in(static_cast<std::size_t>(n) * static_cast<std::size_t>(n) * static_cast<std::size_t>(n));
    const auto index = [n](int x, int y, int z) {
        return (static_cast<std::size_t>(z) * static_cast<std::size_t>(n) + static_cast<std::size_t>(y)) * static_cast<std::size_t>(n) +
               static_cast<std::size_t>(x);
    };
    const auto point = [&](int x, int y, int z) { return centre + HeadVector{(x - half) * step, (y - half) * step, (z - half) * step}; };
    for (int z = 0; z < n; ++z)
        for (int y = 0; y < n; ++y)
            for (int x = 0; x < n; ++x) in[index(x, y, z)] = holds(point(x, y, z)) ? 1 : 0;
    std::vector<HeadPoint> points;
    for (int z = 1; z + 1 < n; ++z)
        for (int y = 1; y + 1 < n; ++y)
            for (int x = 1; x + 1 < n; ++x)
                if (in[index(x, y, z)] && !(in[index(x - 1, y, z)] && in[index(x + 1, y, z)] && in[index(x, y - 1, z)] && in[index(x, y + 1, z)] &&
                                            in[index(x, y, z - 1)] && in[index(x, y, z + 1)]))
                    points.push_back(point(x, y, z));
    return points;
}

/// From a point within the one to a point within the other: how much of the way between both lies in neither, from where it last leaves the one.
double between(HeadPoint from, HeadPoint to, const Holds& one, const Holds& other) {
    constexpr double step = 0.02;
    const double all = length(to - from);
    const HeadVector along = (to - from) * (1.0 / all);
    double left = 0.0;
    for (double far = 0.0; far <= all; far += step) {
        const HeadPoint p = from + along * far;
        if (one(p)) left = far;
        if (other(p)) return far - left;
    }
    return all - left;
}

double shortest(const std::vector<HeadPoint>& from, const std::vector<HeadPoint>& to, const Holds& one, const Holds& other) {
    struct Pair {
        double distance;
        HeadPoint from, to;
    };
    std::vector<Pair> pairs;
    for (const HeadPoint& a : from) {
        Pair best{1e18, a, a};
        for (const HeadPoint& b : to) {
            const double x = a.x - b.x, y = a.y - b.y, z = a.z - b.z, d = x * x + y * y + z * z;
            if (d < best.distance) best.distance = d, best.to = b;
        }
        pairs.push_back(best);
    }
    constexpr std::size_t looked_at = 300;
    std::sort(pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) { return a.distance < b.distance; });
    double least = 1e9;
    for (std::size_t k = 0; k < std::min(looked_at, pairs.size()); ++k) least = std::min(least, between(pairs[k].from, pairs[k].to, one, other));
    return least;
}

}  // namespace

TrueSurroundings true_surroundings(const Timepoint& visit, const Series& series, Eye eye) {
    const HeadPose pose(series);
    const HeadModel head(visit.eyes, series.gaze_deg, pose.down());
    const std::size_t before = eye == Eye::right ? 0 : visit.eyes[0].elements.size();
    const Label element = static_cast<Label>(tissue_count + before);
    const Holds is_element = [&](HeadPoint p) { return head.label_at(p) == element; };
    const Holds is_air = [&](HeadPoint p) { return head.label_at(p) == label(Tissue::air) && head.depth_below_resting_skin(p) < 0.5; };
    const Holds is_bone = [&](HeadPoint p) {
        const Label l = head.label_at(p);
        return l == label(Tissue::cortical_bone) || l == label(Tissue::spongy_bone);
    };
    const HeadPoint centre = head.placement(eye).centre;
    const std::vector<HeadPoint> face = edge_points(centre, 24.0, 0.35, is_element);
    return {shortest(face, edge_points(centre, 32.0, 0.6, is_air), is_element, is_air),
            shortest(face, edge_points(centre, 32.0, 0.4, is_bone), is_element, is_bone)};
}

}  // namespace perisclera::surroundings
