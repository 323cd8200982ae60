// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/orbit_region.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "perisclera/alignment/eye_views.h"

namespace perisclera::teaching {

namespace {

struct Ball {
    PatientPoint centre;
    PatientVector anterior, nasal;
    double radius_mm;
};

/// What tells tissue from air: on MR the mean of nine neighbours in a slice, since single pixels of air are noise.
std::vector<float> signal_of(const ImageSeries& series) {
    const VoxelGrid& grid = series.grid();
    if (series.description.modality == Modality::ct) return grid.values();
    std::vector<float> out(grid.values().size());
    const auto n = grid.geometry().size();
    for (int z = 0; z < n[2]; ++z)
        for (int y = 0; y < n[1]; ++y)
            for (int x = 0; x < n[0]; ++x) {
                float sum = 0.0f;
                for (int dy = -1; dy <= 1; ++dy)
                    for (int dx = -1; dx <= 1; ++dx) sum += grid.at(std::clamp(x + dx, 0, n[0] - 1), std::clamp(y + dy, 0, n[1] - 1), z);
                out[grid.offset(x, y, z)] = sum / 9.0f;
            }
    return out;
}

/// Air, or on MR what is as dark as air.
float darkest_tissue(const ImageSeries& series, std::vector<float> values) {
    if (series.description.modality == Modality::ct) return -300.0f;
    constexpr double bright = 0.9, share = 0.15;
    const auto k = static_cast<std::ptrdiff_t>(bright * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + k, values.end());
    return static_cast<float>(share) * values[static_cast<std::size_t>(k)];
}

/// Steps to the six neighbours.
constexpr std::array<std::array<int, 3>, 6> neighbours{{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}}};

class Voxels {
public:
    explicit Voxels(const VoxelGrid& grid) : grid_(grid), size_(grid.geometry().size()) {}
    [[nodiscard]] bool holds(int x, int y, int z) const { return x >= 0 && y >= 0 && z >= 0 && x < size_[0] && y < size_[1] && z < size_[2]; }
    template <class Do>
    void for_all(Do act) const {
        for (int z = 0; z < size_[2]; ++z)
            for (int y = 0; y < size_[1]; ++y)
                for (int x = 0; x < size_[0]; ++x) act(x, y, z, grid_.offset(x, y, z));
    }
    /// Air joined to the sides of the slices: the air round the head, not that of its sinuses.
    [[nodiscard]] std::vector<char> outer_air(const std::vector<float>& signal, float below) const {
        std::vector<char> outer(signal.size(), 0);
        std::vector<std::array<int, 3>> front;
        const auto take = [&](int x, int y, int z) {
            const std::size_t i = grid_.offset(x, y, z);
            if (outer[i] != 0 || !(signal[i] < below)) return;
            outer[i] = 1;
            front.push_back({x, y, z});
        };
        for_all([&](int x, int y, int z, std::size_t) {
            if (x == 0 || y == 0 || x == size_[0] - 1 || y == size_[1] - 1) take(x, y, z);
        });
        while (!front.empty()) {
            const auto [x, y, z] = front.back();
            front.pop_back();
            for (const auto& [dx, dy, dz] : neighbours)
                if (holds(x + dx, y + dy, z + dz)) take(x + dx, y + dy, z + dz);
        }
        return outer;
    }
    /// Air from which a straight line through air leads out of the images towards a direction.
    [[nodiscard]] std::vector<char> open_air(const std::vector<char>& air, std::initializer_list<PatientVector> directions) const {
        const VolumeGeometry& g = grid_.geometry();
        const std::array<PatientVector, 3> axes{g.row(), g.column(), unit(g.slice_step())};
        std::vector<char> open(air.size(), 0);
        for (const PatientVector towards : directions) {
            std::size_t along = 0;
            for (const std::size_t k : {1u, 2u})
                if (std::abs(dot(axes[k], towards)) > std::abs(dot(axes[along], towards))) along = k;
            const int step = dot(axes[along], towards) > 0.0 ? -1 : 1;  // inwards
            for_all([&](int x, int y, int z, std::size_t) {
                std::array<int, 3> at{x, y, z};
                if (at[along] != (step > 0 ? 0 : size_[along] - 1)) return;
                for (; at[along] >= 0 && at[along] < size_[along] && air[grid_.offset(at[0], at[1], at[2])] != 0; at[along] += step) open[grid_.offset(at[0], at[1], at[2])] = 1;
            });
        }
        return open;
    }
    /// Marks everything within `mm` of what is marked. With `whole_layers` the next layer is, where layers are thicker than this.
    [[nodiscard]] std::vector<char> grown(const std::vector<char>& marked, double mm, bool whole_layers = false) const {
        const auto s = grid_.geometry().spacing_mm();
        std::vector<std::array<int, 3>> steps;
        const auto away = [&](int k, std::size_t axis) { return whole_layers && s[axis] > mm ? std::abs(k) * std::min(mm, 0.5 * s[axis]) : k * s[axis]; };
        std::array<int, 3> reach{};
        for (std::size_t axis = 0; axis < 3; ++axis) reach[axis] = whole_layers && s[axis] > mm ? 1 : static_cast<int>(mm / s[axis]);
        for (int z = -reach[2]; z <= reach[2]; ++z)
            for (int y = -reach[1]; y <= reach[1]; ++y)
                for (int x = -reach[0]; x <= reach[0]; ++x)
                    if (std::hypot(away(x, 0), away(y, 1), away(z, 2)) <= mm) steps.push_back({x, y, z});
        std::vector<char> out = marked;
        for_all([&](int x, int y, int z, std::size_t i) {
            if (marked[i] == 0) return;
            const bool at_edge = std::any_of(neighbours.begin(), neighbours.end(), [&](const auto& d) {
                return holds(x + d[0], y + d[1], z + d[2]) && marked[grid_.offset(x + d[0], y + d[1], z + d[2])] == 0;
            });
            if (!at_edge) return;
            for (const auto& [dx, dy, dz] : steps)
                if (holds(x + dx, y + dy, z + dz)) out[grid_.offset(x + dx, y + dy, z + dz)] = 1;
        });
        return out;
    }
    /// Area of the faces between the first and the second, where `counts` of the first's voxel.
    template <class First, class Second, class Counts>
    [[nodiscard]] double area_between(First first, Second second, Counts counts) const {
        const auto s = grid_.geometry().spacing_mm();
        double area = 0.0;
        for_all([&](int x, int y, int z, std::size_t i) {
            if (!first(i) || !counts(x, y, z)) return;
            for (const auto& [dx, dy, dz] : neighbours)
                if (holds(x + dx, y + dy, z + dz) && second(grid_.offset(x + dx, y + dy, z + dz))) area += dx != 0 ? s[1] * s[2] : dy != 0 ? s[0] * s[2] : s[0] * s[1];
        });
        return area;
    }

private:
    const VoxelGrid& grid_;
    std::array<int, 3> size_;
};

/// `bare`: a coarse layer next to the outer air, of which a part only may be cornea; kept for the globe and the patch before it alone.
bool within_globe(const Ball& ball, PatientVector d, bool bare, const RegionLengths& lengths) {
    constexpr double cornea_cosine = 0.8;
    const double r = length(d);
    const double along = dot(d, ball.anterior);
    if (along > 0.0 && along <= ball.radius_mm + lengths.before && length(d - ball.anterior * along) <= lengths.patch) return true;
    return r <= ball.radius_mm + lengths.globe || (!bare && r <= ball.radius_mm + lengths.cornea && along > cornea_cosine * r);
}

/// `bare` as above: far enough in front coarse layers lose the outermost as well.
bool within_orbit(const Ball& ball, PatientVector d, bool near_air, bool bare, const RegionLengths& lengths) {
    const double along = dot(d, ball.anterior);
    if (bare && along > lengths.layer_front) return false;
    if (near_air && (along > -lengths.skin_behind || dot(d, ball.nasal) < 0.0)) return false;
    return along <= lengths.front && length(d + ball.anterior * lengths.sphere_behind) <= lengths.sphere;
}

}  // namespace

Result<OrbitRegion> orbit_region(const ImageSeries& series, std::optional<Eye> eye, const RegionLengths& lengths) {
    const SeriesViews views = view_series(series, 0);
    std::vector<Ball> balls;
    for (const Eye which : both_eyes) {
        const auto& view = views.eye[which == Eye::right ? 0 : 1];
        if (!view || (eye && *eye != which)) continue;
        const Globe& globe = view->block.globe();
        balls.push_back({globe.frame.origin(), globe.frame.anterior(), globe.frame.towards_left() * (which == Eye::right ? 1.0 : -1.0), globe.equatorial_radius_mm()});
    }
    if (balls.empty()) return Error{ErrorCode::no_globe, "no globe to keep was found in a series of the result", "inputs", "ask for the eye that the result shows"};

    const VoxelGrid& grid = series.grid();
    const Voxels voxels(grid);
    const std::vector<float> signal = signal_of(series);
    const float darkest = darkest_tissue(series, signal);
    const std::vector<char> outer = voxels.outer_air(signal, darkest);
    std::vector<char> near_air = voxels.grown(outer, lengths.skin);
    if (series.description.modality == Modality::ct) {
        // Gas within the tissue is no skin. Without what covers it the pores of a sponge below the lid would run out into the blank, as air before the eye does.
        std::vector<char> enclosed(signal.size(), 0);
        for (std::size_t i = 0; i < signal.size(); ++i) enclosed[i] = signal[i] < darkest && outer[i] == 0;
        const std::vector<char> covered = voxels.grown(enclosed, lengths.over_gas);
        for (std::size_t i = 0; i < signal.size(); ++i) near_air[i] = near_air[i] != 0 && (covered[i] == 0 || outer[i] != 0);
    }
    const std::vector<char> near_layer = voxels.grown(outer, lengths.skin, true);
    const auto spacing = grid.geometry().spacing_mm();
    const bool coarse = *std::max_element(spacing.begin(), spacing.end()) > lengths.skin;
    OrbitRegion region{std::vector<char>(grid.values().size(), 0), grid.geometry().size(), {0, 0, 0}, {}};
    std::array<int, 3> last{-1, -1, -1};
    voxels.for_all([&](int x, int y, int z, std::size_t i) {
        const PatientPoint p = grid.geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)});
        const bool keep = std::any_of(balls.begin(), balls.end(), [&](const Ball& ball) {
            const PatientVector d = p - ball.centre;
            const bool bare = coarse && near_layer[i] != 0;
            return within_globe(ball, d, bare, lengths) || within_orbit(ball, d, near_air[i] != 0, bare, lengths);
        });
        if (!keep) return;
        region.kept[i] = 1;
        const std::array<int, 3> at{x, y, z};
        for (std::size_t k = 0; k < 3; ++k) region.first[k] = std::min(region.first[k], at[k]), last[k] = std::max(last[k], at[k]);
    });
    for (std::size_t k = 0; k < 3; ++k) region.size[k] = last[k] - region.first[k] + 1;

    double behind = 0.0;
    for (const Ball& ball : balls) behind += ball.centre.y / static_cast<double>(balls.size());
    const auto in_front = [&](int x, int y, int z) { return grid.geometry().to_patient({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)}).y < behind + 15.0; };
    const std::vector<char> open = voxels.open_air(outer, {{0, -1, 0}, {1, 0, 0}, {-1, 0, 0}, {0, 0, 1}, {0, 0, -1}});
    const auto is_open = [&](std::size_t i) { return open[i] != 0; };
    const auto is_kept = [&](std::size_t i) { return region.kept[i] != 0 && outer[i] == 0; };
    region.face.imaged_mm2 = voxels.area_between([&](std::size_t i) { return outer[i] == 0; }, is_open, in_front);
    region.face.kept_mm2 = voxels.area_between(is_kept, is_open, in_front);
    region.face.cut_beneath_mm2 = voxels.area_between(is_kept, [&](std::size_t i) { return region.kept[i] == 0 && near_air[i] != 0 && outer[i] == 0; }, in_front);
    return region;
}

}  // namespace perisclera::teaching
