// SPDX-License-Identifier: Apache-2.0
#include "composite.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "element_shape.h"
#include "plane_filter.h"
#include "random_field.h"

namespace perisclera::phantoms {

namespace {

/// Inside the globe the wall's dent dies out at this depth.
constexpr double dent_reach_mm = 7.0;
/// Tissue between an element and this height above the globe is squeezed; beyond, nothing moves.
double squeezed_height(double lift) { return 8.0 + 2.5 * lift; }

class Placed {
public:
    Placed(const RealGlobe& globe, const Element& element) : globe_(globe), shape_(element, GlobeShape::sphere(globe.radius_mm)) {}

    struct Polar {
        EyeVector direction;
        PatientVector towards;
        double height;
    };
    [[nodiscard]] std::optional<Polar> polar(PatientPoint p) const {
        const PatientVector d = p - globe_.centre;
        const double r = length(d);
        if (r < 1e-6) return std::nullopt;
        const PatientVector n = d / r;
        return Polar{{dot(n, globe_.towards_left), dot(n, globe_.superior), dot(n, globe_.anterior)}, n, r - globe_.outer_mm(n)};
    }
    [[nodiscard]] bool holds(PatientPoint p) const {
        const auto at = polar(p);
        return at && shape_.contains(at->direction, at->height);
    }
    /// Where what now lies at the point lay before; the point itself where nothing moved.
    [[nodiscard]] PatientPoint before(PatientPoint p) const {
        const auto at = polar(p);
        if (!at) return p;
        const double lift = shape_.lift(at->direction), dent = shape_.dent(at->direction);
        double before = at->height;
        if (at->height < -dent) {
            if (at->height > -dent_reach_mm) before = (at->height + dent) * dent_reach_mm / (dent_reach_mm - dent);
        } else if (const double limit = squeezed_height(lift); at->height < limit) {
            // In the cleft beside an element the nearest tissue above the wall closes in.
            before = std::max(0.0, (at->height - lift) * limit / (limit - lift));
        }
        return p + at->towards * (before - at->height);
    }
    /// Beyond this distance from the centre nothing changes.
    [[nodiscard]] double reach_mm() const { return globe_.radius_mm + 2.0 + std::max(squeezed_height(shape_.highest()), shape_.highest() + 4.0); }

private:
    const RealGlobe& globe_;
    ElementShape shape_;
};

struct Block {
    std::array<int, 3> first, last;
};

Block block_about(const VolumeGeometry& geometry, PatientPoint centre, double reach) {
    Block block{};
    for (std::size_t a = 0; a < 3; ++a) block.first[a] = geometry.size()[a], block.last[a] = -1;
    // The corners of a cube about the globe, so that tilted stacks are covered too.
    for (const double x : {-reach, reach})
        for (const double y : {-reach, reach})
            for (const double z : {-reach, reach}) {
                const VoxelPoint v = geometry.to_voxel(centre + PatientVector{x, y, z});
                const std::array<double, 3> at{v.x, v.y, v.z};
                for (std::size_t a = 0; a < 3; ++a) {
                    block.first[a] = std::min(block.first[a], static_cast<int>(std::floor(at[a])));
                    block.last[a] = std::max(block.last[a], static_cast<int>(std::ceil(at[a])));
                }
            }
    for (std::size_t a = 0; a < 3; ++a) {
        block.first[a] = std::clamp(block.first[a], 0, geometry.size()[a] - 1);
        block.last[a] = std::clamp(block.last[a], -1, geometry.size()[a] - 1);
    }
    return block;
}

/// How much of the voxel about `middle` the element fills, over the slice's whole thickness; fine enough for a band of 0.6 mm.
float filled_share(const Placed& placed, const VolumeGeometry& geometry, PatientPoint middle, double slice_thickness_mm) {
    constexpr double fine_mm = 0.2;
    const auto spacing = geometry.spacing_mm();
    const auto parts_of = [](double size) { return std::max(2, static_cast<int>(std::ceil(size / fine_mm))); };
    const std::array<int, 3> parts{parts_of(spacing[0]), parts_of(spacing[1]), parts_of(slice_thickness_mm)};
    const auto offset = [](int part, int count) { return (part + 0.5) / count - 0.5; };
    int inside = 0;
    for (int k = 0; k < parts[2]; ++k)
        for (int j = 0; j < parts[1]; ++j)
            for (int h = 0; h < parts[0]; ++h)
                inside += placed.holds(middle + geometry.row() * (offset(h, parts[0]) * spacing[0]) + geometry.column() * (offset(j, parts[1]) * spacing[1]) +
                                       geometry.normal() * (offset(k, parts[2]) * slice_thickness_mm));
    return static_cast<float>(inside) / static_cast<float>(parts[0] * parts[1] * parts[2]);
}

}  // namespace

VoxelGrid put_into(const VoxelGrid& real, const RealGlobe& globe, const Element& element, const CompositeLook& look, std::uint64_t key) {
    const Placed placed(globe, element);
    const VolumeGeometry& geometry = real.geometry();
    const Block block = block_about(geometry, globe.centre, placed.reach_mm() + 4.0 * look.blur_mm);
    const auto spacing = geometry.spacing_mm();
    const int width = block.last[0] - block.first[0] + 1, height = block.last[1] - block.first[1] + 1;
    if (width < 1 || height < 1) return real;
    // Pixels are as good as square (common practice): one blur for rows and columns.
    const double sigma = std::max(look.blur_mm / spacing[0], 0.05);
    const int half = static_cast<int>(std::ceil(3.5 * sigma));
    const std::vector<double> weights = gaussian(sigma, 2 * half + 1);
    std::vector<float> values = real.values();
    const CorrelatedNoise noise(look.noise, width, height);
    for (int z = block.first[2]; z <= block.last[2]; ++z) {
        Image share(width + 2 * half, height + 2 * half), moved(width, height);
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                const PatientPoint middle = geometry.to_patient({static_cast<double>(block.first[0] + x), static_cast<double>(block.first[1] + y), static_cast<double>(z)});
                moved.at(x, y) = real.at(block.first[0] + x, block.first[1] + y, z);
                if (length(middle - globe.centre) > placed.reach_mm()) continue;
                share.at(x + half, y + half) = filled_share(placed, geometry, middle, look.slice_thickness_mm);
                if (!look.displaces) continue;
                const PatientPoint source = placed.before(middle);
                if (length(source - middle) > 1e-9) moved.at(x, y) = real.sample(source);
            }
        const Image filled = filtered(share, weights, 1, width, height);
        const ComplexPlane disturbed = noise.plane(mixed(key, static_cast<std::uint64_t>(z)));
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                float& value = values[real.offset(block.first[0] + x, block.first[1] + y, z)];
                value = moved.at(x, y);
                const double part = static_cast<double>(filled.at(x, y));
                if (part <= 1e-6) continue;
                const Complex own_signal = look.value + disturbed.at(x, y);
                const double own = look.magnitude ? std::abs(own_signal) : own_signal.real();
                value = static_cast<float>(std::lerp(static_cast<double>(value), own, part));
            }
    }
    return {geometry, std::move(values)};
}

double share_at_least(const VoxelGrid& real, const RealGlobe& globe, const Element& element, double value) {
    const Placed placed(globe, element);
    const double reach = placed.reach_mm();
    constexpr double step = 0.7;
    double inside = 0.0, above = 0.0;
    for (double x = -reach; x <= reach; x += step)
        for (double y = -reach; y <= reach; y += step)
            for (double z = -reach; z <= reach; z += step) {
                const PatientPoint p = globe.centre + PatientVector{x, y, z};
                if (!placed.holds(p)) continue;
                inside += 1.0;
                above += static_cast<double>(real.sample(p)) >= value;
            }
    return inside > 0.0 ? above / inside : 0.0;
}

}  // namespace perisclera::phantoms
