// SPDX-License-Identifier: Apache-2.0
#include "look_alike_truth.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace perisclera::phantoms {

namespace {

constexpr double fine_mm = 0.2, coarse_mm = 0.3;  // between the points counted; small and thin things finely

/// Volume of what is `wanted` in a cube about `middle`.
double counted(HeadPoint middle, double half_side, double step, const std::function<bool(HeadPoint)>& wanted) {
    double points = 0.0;
    for (double x = -half_side + step / 2.0; x < half_side; x += step)
        for (double y = -half_side + step / 2.0; y < half_side; y += step)
            for (double z = -half_side + step / 2.0; z < half_side; z += step) points += wanted(middle + HeadVector{x, y, z});
    return points * step * step * step;
}

/// What the head holds of a part, and what of that is gas.
void count_part(const HeadModel& head, Eye eye, const OrbitPart& part, LookAlikeTruth& t) {
    double points = 0.0, gas = 0.0;
    HeadVector sum{0, 0, 0};
    t.volume_mm3 = counted(part.middle, part.reach_mm, fine_mm, [&](HeadPoint p) {
        if (!part.contains(p)) return false;
        const Tissue made_of = part.inside(p);
        if (head.label_at(p) != label(made_of)) return false;
        ++points;
        gas += made_of == Tissue::air;
        sum = sum + (p - head.placement(eye).centre);
        return true;
    });
    if (points == 0.0) return;
    t.gas_mm3 = t.volume_mm3 * gas / points;
    t.from_globe_mm = {sum.x / points, sum.y / points, sum.z / points};
}

/// Of what lies over something else on the globe.
double beyond(const ElementShape& over, const ElementShape& under, double radius) {
    return counted({0, 0, 0}, radius + over.highest(), fine_mm, [&](HeadPoint p) {
        const double r = length(p - HeadPoint{0, 0, 0});
        if (r < radius - 1.0) return false;
        const EyeVector direction{p.x / r, p.y / r, p.z / r};
        return over.contains(direction, r - radius) && !under.contains(direction, r - radius);
    });
}

/// How much more of a tissue an orbit holds for this look-alike.
double grown(const std::array<EyeState, 2>& eyes, Eye eye, std::size_t which, Tissue tissue) {
    std::array<EyeState, 2> before = eyes;
    auto& list = before[index_of(eye)].look_alikes;
    list.erase(list.begin() + static_cast<std::ptrdiff_t>(which));
    const HeadModel with(eyes, {}), without(before, {});
    constexpr double half_side = 36.0;
    return counted(with.placement(eye).centre, half_side, coarse_mm, [&](HeadPoint p) { return with.label_at(p) == label(tissue) && without.label_at(p) != label(tissue); });
}

}  // namespace

std::vector<LookAlikeTruth> look_alike_truths(const std::array<EyeState, 2>& eyes, Eye eye) {
    const auto& list = eyes[index_of(eye)].look_alikes;
    if (list.empty()) return {};
    const HeadModel head(eyes, {});
    std::vector<LookAlikeTruth> out;
    for (std::size_t i = 0; i < list.size(); ++i) {
        LookAlikeTruth t{list[i], 0.0};
        switch (list[i].kind) {
            case LookAlikeKind::perfluorocarbon_drop: t.volume_mm3 = pi / 6.0 * std::pow(list[i].size_mm[0], 3); break;
            case LookAlikeKind::enlarged_gland: t.volume_mm3 = grown(eyes, eye, i, Tissue::gland); break;
            case LookAlikeKind::thickened_muscles: t.volume_mm3 = grown(eyes, eye, i, Tissue::muscle); break;
            case LookAlikeKind::orbital_sphere: t.volume_mm3 = head.eye(eye).socket()->sphere_volume_mm3(); break;
            default: break;
        }
        const GlobePart* before = nullptr;  // a drainage device's plate, beneath its fluid
        for (const GlobePart& part : head.eye(eye).look_alikes()) {
            if (part.look_alike != i) continue;
            if (before)
                t.fluid_mm3 = beyond(part.outline, before->outline, head.eye(eye).shape().radius);
            else
                t.volume_mm3 = part.outline.volume_mm3(), t.on_globe = {part.outline.clock_extent(), part.outline.limbus_extent_mm()};
            before = &part;
        }
        for (const OrbitPart& part : head.orbit_look_alikes(eye))
            if (part.look_alike == i) count_part(head, eye, part, t);
        out.push_back(t);
    }
    return out;
}

ContentsTruth contents_truth(const std::array<EyeState, 2>& eyes, Eye eye) {
    const EyeState& state = eyes[index_of(eye)];
    const double cavity = HeadModel(eyes, {}).eye(eye).contents_level().volume_mm3;
    return {cavity, state.contents_share * cavity};
}

}  // namespace perisclera::phantoms
