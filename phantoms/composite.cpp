// SPDX-License-Identifier: Apache-2.0
#include "composite.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "element_shape.h"
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
        if (at->height >= -dent) {
            // In the cleft beside an element the nearest tissue above the wall closes in.
            const double limit = squeezed_height(lift), top = lift;
            if (at->height < limit && (lift > 0.0 || dent > 0.0)) before = std::max(0.0, (at->height - top) * limit / (limit - top));
            if (lift <= 0.0 && at->height >= 0.0) before = at->height;
        } else if (at->height > -dent_reach_mm && dent > 0.0) {
            before = (at->height + dent) * dent_reach_mm / (dent_reach_mm - dent);
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

/// Gaussian blur of a plane in place, separable.
void blur(std::vector<double>& plane, int width, int height, std::array<double, 2> sigma_pixels) {
    for (const bool along_rows : {true, false}) {
        const double sigma = sigma_pixels[along_rows ? 0 : 1];
        if (sigma < 0.05) continue;
        const int reach = static_cast<int>(std::ceil(3.5 * sigma));
        std::vector<double> kernel(static_cast<std::size_t>(2 * reach + 1));
        double sum = 0.0;
        for (int k = -reach; k <= reach; ++k) sum += kernel[static_cast<std::size_t>(k + reach)] = std::exp(-0.5 * k * k / (sigma * sigma));
        std::vector<double> out(plane.size());
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                double value = 0.0;
                for (int k = -reach; k <= reach; ++k) {
                    const int xx = std::clamp(along_rows ? x + k : x, 0, width - 1), yy = std::clamp(along_rows ? y : y + k, 0, height - 1);
                    value += kernel[static_cast<std::size_t>(k + reach)] / sum * plane[static_cast<std::size_t>(yy * width + xx)];
                }
                out[static_cast<std::size_t>(y * width + x)] = value;
            }
        plane = std::move(out);
    }
}

/// Noise of unit deviation, as fine as the image's blur lets it be.
std::vector<double> noise_plane(int width, int height, std::array<double, 2> sigma_pixels, std::uint64_t key) {
    std::vector<double> noise(static_cast<std::size_t>(width * height));
    for (std::size_t i = 0; i < noise.size(); ++i) noise[i] = normal_number(key, i);
    blur(noise, width, height, sigma_pixels);
    double square = 0.0;
    for (const double n : noise) square += n * n;
    const double deviation = std::sqrt(square / static_cast<double>(std::max<std::size_t>(noise.size(), 1)));
    if (deviation > 0.0)
        for (double& n : noise) n /= deviation;
    return noise;
}

}  // namespace

VoxelGrid put_into(const VoxelGrid& real, const RealGlobe& globe, const Element& element, const CompositeLook& look, std::uint64_t key) {
    const Placed placed(globe, element);
    const VolumeGeometry& geometry = real.geometry();
    const Block block = block_about(geometry, globe.centre, placed.reach_mm() + 4.0 * look.blur_mm);
    const auto spacing = geometry.spacing_mm();
    const int width = block.last[0] - block.first[0] + 1, height = block.last[1] - block.first[1] + 1;
    const std::array<double, 2> sigma{look.blur_mm / spacing[0], look.blur_mm / spacing[1]};
    // Fine enough for a band of 0.6 mm.
    constexpr double fine_mm = 0.2;
    const std::array<int, 3> parts{std::max(2, static_cast<int>(std::ceil(spacing[0] / fine_mm))), std::max(2, static_cast<int>(std::ceil(spacing[1] / fine_mm))),
                                   std::max(2, static_cast<int>(std::ceil(look.slice_thickness_mm / fine_mm)))};
    std::vector<float> values = real.values();
    for (int z = block.first[2]; z <= block.last[2]; ++z) {
        std::vector<double> share(static_cast<std::size_t>(width * height)), moved(share.size());
        bool any = false;
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                const auto i = static_cast<std::size_t>(y * width + x);
                const VoxelPoint voxel{static_cast<double>(block.first[0] + x), static_cast<double>(block.first[1] + y), static_cast<double>(z)};
                const PatientPoint middle = geometry.to_patient(voxel);
                const double original = static_cast<double>(real.at(block.first[0] + x, block.first[1] + y, z));
                moved[i] = original;
                if (length(middle - globe.centre) > placed.reach_mm()) continue;
                int inside = 0, all = 0;
                for (int k = 0; k < parts[2]; ++k)
                    for (int j = 0; j < parts[1]; ++j)
                        for (int h = 0; h < parts[0]; ++h) {
                            const auto offset = [](int part, int count) { return (part + 0.5) / count - 0.5; };
                            const PatientPoint p = middle + geometry.row() * (offset(h, parts[0]) * spacing[0]) + geometry.column() * (offset(j, parts[1]) * spacing[1]) +
                                                   geometry.normal() * (offset(k, parts[2]) * look.slice_thickness_mm);
                            inside += placed.holds(p);
                            ++all;
                        }
                share[i] = static_cast<double>(inside) / all;
                any = any || inside > 0;
                if (!look.displaces) continue;
                const PatientPoint source = placed.before(middle);
                if (length(source - middle) > 1e-9) moved[i] = static_cast<double>(real.sample(source));
            }
        if (any) blur(share, width, height, sigma);
        const std::vector<double> noise = any ? noise_plane(width, height, sigma, mixed(key, static_cast<std::uint64_t>(z))) : std::vector<double>(share.size());
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                const auto i = static_cast<std::size_t>(y * width + x);
                double value = moved[i];
                if (share[i] > 1e-6) {
                    double own = look.value + look.noise * noise[i];
                    if (look.magnitude) own = std::hypot(own, look.noise * normal_number(mixed(key ^ 0x5bd1e995u, static_cast<std::uint64_t>(z)), i));
                    value = std::lerp(moved[i], own, share[i]);
                }
                values[real.offset(block.first[0] + x, block.first[1] + y, z)] = static_cast<float>(value);
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
