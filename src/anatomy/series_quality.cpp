// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/series_quality.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <vnl/algo/vnl_cholesky.h>
#include <vnl/vnl_matrix.h>
#include <vnl/vnl_vector.h>

#include "perisclera/anatomy/directions.h"
#include "perisclera/core/quantile.h"
#include "perisclera/core/text.h"

namespace perisclera {

namespace {

constexpr double surroundings_mm = 6.0;    ///< room for an element beside the wall
constexpr double metal_hu = 3000.0;        ///< denser than enamel and petrous bone; common practice, no source
constexpr double metal_reach_mm = 60.0;

void see_coverage(const VoxelGrid& grid, const Globe& globe, GlobeQuality& quality) {
    const auto directions = even_directions<PatientLps>(400);
    constexpr int shells = 12;
    double all = 0.0, beyond = 0.0;
    PatientVector towards{0, 0, 0};
    for (const PatientVector d : directions) {
        const double reach = globe.outer_radius_mm(d) + surroundings_mm;
        for (int k = 0; k < shells; ++k) {
            const double r = reach * (k + 0.5) / shells;
            all += r * r;
            if (grid.geometry().contains(globe.frame.origin() + d * r)) continue;
            beyond += r * r;
            towards = towards + d * (r * r);
        }
    }
    quality.beyond_images = beyond / all;
    if (length(towards) > 0.0) quality.missing_towards = unit(towards);
}

/// Values in the vitreous behind the lens, less the plane that fits them best (the coil's shading).
class FlatVitreous {
public:
    FlatVitreous(const VoxelGrid& grid, const Globe& globe) : grid_(grid), globe_(globe) {
        const VolumeGeometry& geometry = grid.geometry();
        const VoxelPoint middle = geometry.to_voxel(globe.frame.origin());
        const auto size = geometry.size();
        const auto spacing = geometry.spacing_mm();
        std::array<int, 3> first{}, last{};
        const std::array<double, 3> at{middle.x, middle.y, middle.z};
        for (std::size_t a = 0; a < 3; ++a) {
            // A tilted stack shifts its slices: a generous block.
            const double reach = 20.0 / spacing[a];
            first[a] = std::clamp(static_cast<int>(std::floor(at[a] - reach)), 0, size[a] - 1);
            last[a] = std::clamp(static_cast<int>(std::ceil(at[a] + reach)), 0, size[a] - 1);
        }
        for (int z = first[2]; z <= last[2]; ++z)
            for (int y = first[1]; y <= last[1]; ++y)
                for (int x = first[0]; x <= last[0]; ++x) {
                    const PatientPoint p = geometry.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)});
                    if (inside(p)) voxels_.push_back({p, static_cast<double>(grid.at(x, y, z))});
                }
        if (enough()) fit_plane();
    }

    [[nodiscard]] bool enough() const { return voxels_.size() >= 60; }

    /// Standard deviation about the plane.
    [[nodiscard]] double spread() const {
        double sum = 0.0;
        for (const auto& [p, value] : voxels_) {
            const double rest = value - plane(p);
            sum += rest * rest;
        }
        return std::sqrt(sum / static_cast<double>(voxels_.size() - 4));
    }

    /// Half the mean squared difference between points `step` apart: the variance, where they do not belong together.
    /// Points lie off the voxels' centres, evenly, so that interpolation smooths every direction alike.
    [[nodiscard]] double half_squared_difference(PatientVector step) const {
        const PatientVector row = grid_.geometry().row() * grid_.geometry().spacing_mm()[0], column = grid_.geometry().column() * grid_.geometry().spacing_mm()[1];
        double sum = 0.0, weight = 0.0, u = 0.5, v = 0.5;
        for (const auto& [centre, value] : voxels_) {
            // The plastic number's sequence: even in two dimensions.
            u = std::fmod(u + 0.7548776662466927, 1.0);
            v = std::fmod(v + 0.5698402909980532, 1.0);
            const PatientPoint p = centre + row * (u - 0.5) + column * (v - 0.5), q = p + step;
            if (!inside(p) || !inside(q)) continue;
            const double difference = static_cast<double>(grid_.sample(p)) - plane(p) - static_cast<double>(grid_.sample(q)) + plane(q);
            sum += difference * difference;
            weight += 1.0;
        }
        return weight < 30.0 ? 0.0 : 0.5 * sum / weight;
    }

private:
    [[nodiscard]] bool inside(PatientPoint p) const {
        const PatientVector d = p - globe_.frame.origin();
        const double r = length(d);
        if (r < 1e-9) return true;
        return r < 0.72 * (globe_.outer_radius.at(d / r) - wall_at_equator_mm) && dot(d, globe_.frame.anterior()) < 2.0;
    }

    void fit_plane() {
        vnl_matrix<double> normal(4, 4, 0.0);
        vnl_vector<double> right(4, 0.0);
        for (const auto& [p, value] : voxels_) {
            const vnl_vector<double> row = terms(p);
            normal += outer_product(row, row);
            right += row * value;
        }
        const vnl_cholesky solver(normal, vnl_cholesky::quiet);
        if (solver.rank_deficiency() == 0) plane_ = solver.solve(right);
    }

    /// 1, x, y, z about the globe's centre.
    [[nodiscard]] vnl_vector<double> terms(PatientPoint p) const {
        const PatientVector d = p - globe_.frame.origin();
        vnl_vector<double> row(4, 1.0);
        row[1] = d.x, row[2] = d.y, row[3] = d.z;
        return row;
    }

    [[nodiscard]] double plane(PatientPoint p) const { return dot_product(plane_, terms(p)); }

    struct Voxel {
        PatientPoint place;
        double value;
    };
    const VoxelGrid& grid_;
    const Globe& globe_;
    std::vector<Voxel> voxels_;
    vnl_vector<double> plane_{4, 0.0};
};

std::optional<VitreousTexture> texture_of(const VoxelGrid& grid, const Globe& globe) {
    const FlatVitreous vitreous(grid, globe);
    if (!vitreous.enough()) return std::nullopt;
    VitreousTexture texture{vitreous.spread(), 0.0, {0, 0, 0}};
    constexpr int directions = 8;
    constexpr std::array lags_mm{2.5, 4.0, 5.5};  // longer than the blur of the voxels, shorter than the vitreous
    std::array<double, directions> variance{};
    std::array<PatientVector, directions> along{};
    for (int k = 0; k < directions; ++k) {
        const double angle = std::numbers::pi * k / directions;
        along[static_cast<std::size_t>(k)] = grid.geometry().row() * std::cos(angle) + grid.geometry().column() * std::sin(angle);
        for (const double lag : lags_mm) variance[static_cast<std::size_t>(k)] += vitreous.half_squared_difference(along[static_cast<std::size_t>(k)] * lag) / lags_mm.size();
    }
    // Lines of a pattern leave the direction along them quiet: each direction against the one across it.
    double most = 0.0;
    for (std::size_t k = 0; k < directions; ++k) {
        const double across = variance[(k + directions / 2) % directions];
        if (across <= 0.0 || variance[k] < 1.6 * across || variance[k] - across <= most) continue;
        most = variance[k] - across;
        texture.pattern_along = along[k];
    }
    texture.pattern = std::sqrt(most);
    return texture;
}

std::optional<Mm> nearest_metal(const VoxelGrid& grid, const Globe& globe) {
    const VolumeGeometry& geometry = grid.geometry();
    const auto size = geometry.size();
    std::optional<Mm> nearest;
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y)
            for (int x = 0; x < size[0]; ++x) {
                if (grid.at(x, y, z) < static_cast<float>(metal_hu)) continue;
                const PatientVector d = geometry.to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}) - globe.frame.origin();
                const double r = length(d);
                if (r > metal_reach_mm) continue;
                const Mm away(r < 1e-9 ? 0.0 : std::max(0.0, r - globe.outer_radius_mm(d / r)));
                if (!nearest || away < *nearest) nearest = away;
            }
    return nearest;
}

std::string rounded(double value) { return std::to_string(std::lround(value)); }

/// The patient's direction nearest to a vector.
std::string direction_name(PatientVector v) {
    const double x = std::abs(v.x), y = std::abs(v.y), z = std::abs(v.z);
    if (z >= x && z >= y) return say(v.z > 0 ? "quality.above" : "quality.below");
    if (y >= x) return say(v.y > 0 ? "quality.behind" : "quality.in_front");
    return say(v.x > 0 ? "quality.on_the_left" : "quality.on_the_right");
}

/// The patient's axis nearest to a direction.
std::string axis_name(PatientVector v) {
    const double x = std::abs(v.x), y = std::abs(v.y), z = std::abs(v.z);
    return say(z >= x && z >= y ? "quality.above_to_below" : y >= x ? "quality.front_to_back" : "quality.side_to_side");
}

}  // namespace

GlobeQuality globe_quality(const VoxelGrid& grid, Modality modality, const Globe& globe) {
    GlobeQuality quality;
    see_coverage(grid, globe, quality);
    quality.texture = texture_of(grid, globe);
    if (modality == Modality::ct) quality.metal_distance = nearest_metal(grid, globe);
    return quality;
}

std::vector<std::string> in_words(const GlobeQuality& quality, Modality modality, const Globe& globe) {
    // From where on a reader would want to be told; our choice. A band of 0.75 mm differs from fat by some hundred HU after
    // its blur, and on MR by about half of what parts vitreous from its surroundings.
    constexpr double missing = 0.02, noisy_hu = 20.0, noisy_share = 0.10, streaked_hu = 10.0, ghost_share = 0.05;
    const std::string of = say(globe.eye == Eye::right ? "globe.right" : "globe.left");
    std::vector<std::string> words;
    if (quality.beyond_images > missing)
        words.push_back(say("quality.beyond_images", {{"percent", rounded(100.0 * quality.beyond_images)}, {"globe", of}, {"direction", direction_name(quality.missing_towards)}}));
    if (quality.texture && modality == Modality::ct) {
        if (quality.texture->noise > noisy_hu) words.push_back(say("quality.noise_on_ct", {{"noise", rounded(quality.texture->noise)}, {"globe", of}}));
        if (quality.texture->pattern > streaked_hu) words.push_back(say("quality.streaks", {{"streaks", rounded(quality.texture->pattern)}, {"globe", of}}));
    }
    if (quality.texture && modality == Modality::mr && globe.wall_contrast > 0.0) {
        const double noise = quality.texture->noise / globe.wall_contrast, ghosts = quality.texture->pattern / globe.wall_contrast;
        if (noise > noisy_share) words.push_back(say("quality.noise_on_mr", {{"globe", of}, {"percent", rounded(100.0 * noise)}}));
        if (ghosts > ghost_share)
            words.push_back(say("quality.ghosts", {{"axis", axis_name(quality.texture->pattern_along)}, {"percent", rounded(100.0 * ghosts)}, {"globe", of}}));
    }
    if (quality.metal_distance) words.push_back(say("quality.metal", {{"distance", rounded(quality.metal_distance->value())}, {"globe", of}}));
    return words;
}

double head_on_border(const VoxelGrid& grid, Modality modality, PatientPoint level) {
    const auto size = grid.geometry().size();
    const double at = grid.geometry().to_voxel(level).z;
    const int first = std::clamp(static_cast<int>(std::lround(at)) - 2, 0, size[2] - 1), last = std::clamp(static_cast<int>(std::lround(at)) + 2, 0, size[2] - 1);
    // Air on CT; on MR what is far below the brightest tissue, which is fat or fluid.
    double tissue = -300.0;
    if (modality == Modality::mr) {
        std::vector<float> values;
        for (int z = first; z <= last; ++z)
            for (int y = 0; y < size[1]; y += 2)
                for (int x = 0; x < size[0]; x += 2) values.push_back(grid.at(x, y, z));
        tissue = 0.25 * quantile(std::move(values), 0.97);
    }
    double border = 0.0, head = 0.0;
    const auto look = [&](int x, int y, int z) {
        border += 1.0;
        if (static_cast<double>(grid.at(x, y, z)) > tissue) head += 1.0;
    };
    for (int z = first; z <= last; ++z) {
        for (int x = 0; x < size[0]; ++x) look(x, 0, z), look(x, size[1] - 1, z);
        for (int y = 1; y + 1 < size[1]; ++y) look(0, y, z), look(size[0] - 1, y, z);
    }
    return head / border;
}

}  // namespace perisclera
