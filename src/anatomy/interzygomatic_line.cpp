// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/interzygomatic_line.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/text.h"

namespace perisclera {

namespace {

/// Half way from soft tissue to the compact bone of a rim as blur leaves it; and what a rim must reach behind its edge (bone in general +500 HU and more).
constexpr double edge_hu = 220.0, bone_hu = 320.0;
/// Where the rim is sought about the usual place of a globe, between the two that are there. An orbit is some 40 mm wide (common practice, no source).
constexpr double nearest_mm = 11.0, farthest_mm = 30.0, front_mm = 8.0, rear_mm = 26.0, step_mm = 0.25;
/// What lies on a globe may be as bright as bone.
constexpr double clear_of_globe_mm = 3.5;

struct Search {
    const VoxelGrid& ct;
    const HeadMidplane& head;
    PatientPoint level;          ///< on the midplane, between the globes
    double half_distance_mm;     ///< from midplane to a globe
    const std::array<const Globe*, 2>& globes;

    [[nodiscard]] PatientPoint place(Eye eye, double beside, double forward, double up) const {
        return level + head.left * (temporal_sign(eye) * beside) + head.anterior() * forward + head.superior() * up;
    }
    [[nodiscard]] bool near_a_globe(PatientPoint p) const {
        return std::any_of(globes.begin(), globes.end(), [&](const Globe* g) { return length(p - g->frame.origin()) < g->equatorial_radius_mm() + clear_of_globe_mm; });
    }
};

struct Edge {
    double beside, forward;
};

/// The foremost bone at one height; nothing where the images end or hold none.
std::optional<Edge> foremost(const Search& s, Eye eye, double up) {
    std::optional<Edge> best;
    for (double beside = s.half_distance_mm + nearest_mm; beside <= s.half_distance_mm + farthest_mm; beside += 0.5) {
        double before = 0.0;
        bool had_before = false;
        for (double forward = front_mm; forward >= -rear_mm; forward -= step_mm) {
            if (best && forward < best->forward) break;
            const PatientPoint p = s.place(eye, beside, forward, up);
            if (!s.ct.geometry().contains(p) || s.near_a_globe(p)) {
                had_before = false;
                continue;
            }
            const double value = static_cast<double>(s.ct.sample(p));
            if (value >= edge_hu && had_before && before < edge_hu) {
                double brightest = value;
                for (double behind = step_mm; behind <= 3.0; behind += step_mm) brightest = std::max(brightest, static_cast<double>(s.ct.sample(s.place(eye, beside, forward - behind, up))));
                if (brightest >= bone_hu) {
                    best = Edge{beside, forward + step_mm * (value - edge_hu) / (value - before)};
                    break;
                }
            }
            before = value;
            had_before = true;
        }
    }
    return best;
}

struct Rim {
    PatientPoint edge;
    double spread_mm;
};

std::optional<Rim> find_rim(const Search& s, Eye eye) {
    std::vector<Edge> edges;
    for (double up = -2.0; up <= 2.0; up += 1.0)
        if (const auto edge = foremost(s, eye, up)) edges.push_back(*edge);
    if (edges.size() < 4) return std::nullopt;
    std::sort(edges.begin(), edges.end(), [](const Edge& a, const Edge& b) { return a.forward < b.forward; });
    const Edge middle = edges[edges.size() / 2];
    return Rim{s.place(eye, middle.beside, middle.forward, 0.0), 0.5 * (edges.back().forward - edges.front().forward)};
}

}  // namespace

std::variant<InterzygomaticLine, Unmeasured> find_interzygomatic_line(const VoxelGrid& ct, const HeadMidplane& head, const std::array<const Globe*, 2>& globes) {
    const PatientPoint right_globe = globes[0]->frame.origin(), left_globe = globes[1]->frame.origin();
    const PatientPoint between = right_globe + (left_globe - right_globe) * 0.5;
    const Search search{ct, head, between - head.left * head.left_of(between), 0.5 * (head.left_of(left_globe) - head.left_of(right_globe)), globes};
    const auto right = find_rim(search, Eye::right), left = find_rim(search, Eye::left);
    if (!right || !left) {
        const auto imaged = [&](Eye eye) { return ct.geometry().contains(search.place(eye, search.half_distance_mm + 20.0, -rear_mm, 0.0)); };
        return Unmeasured{say(imaged(Eye::right) && imaged(Eye::left) ? "reason.no_edge_of_rims" : "reason.rims_outside_images")};
    }
    const auto spacing = ct.geometry().spacing_mm();
    // A thick slice takes in a rim that runs obliquely through it; by the simulated heads.
    constexpr double of_pixel = 0.4, of_slice = 0.2, of_threshold_mm = 0.3;
    const double uncertainty = std::hypot(std::hypot(of_pixel * std::max(spacing[0], spacing[1]), of_slice * spacing[2]), of_threshold_mm, 0.5 * (right->spread_mm + left->spread_mm));
    const InterzygomaticLine line{right->edge, left->edge, Mm(uncertainty)};
    // 103.8 mm (Acta Ophthalmol Scand 2001;79:197-200), 102.7 in men and 97.0 in women (doi 10.3390/tomography10110125), standard deviation up to 3.9 mm.
    constexpr double shortest_mm = 80.0, longest_mm = 122.0;
    if (line.length_mm() < shortest_mm || line.length_mm() > longest_mm) return Unmeasured{say("reason.rims_unlikely")};
    return line;
}

}  // namespace perisclera
