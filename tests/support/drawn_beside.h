// SPDX-License-Identifier: Apache-2.0
#pragma once
// An orbit of fat with four muscles and a sponge or band on the globe, as CT shows it, with what lies beside the element: gas, dense fat, air, bone. Gas is -1000 HU by the
// scale's definition; fat -120 to -90 HU (encyclopaedia's Hounsfield scale, approximate); sponge -550 HU lies in the middle of what foams of 0.24 to 0.56 g/cm3 come to.
// The rest is common practice, no source.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <vector>

#include "perisclera/segmentation/inflammation.h"
#include "tests/support/drawn_orbit.h"

namespace perisclera::test::beside {

constexpr double radius = 12.2, degrees = std::numbers::pi / 180.0;
constexpr double vitreous_hu = 8.0, wall_hu = 45.0, fat_hu = -105.0, muscle_hu = 45.0, gas_hu = -1000.0, sponge_hu = -550.0, bone_hu = 900.0;

constexpr ShellSector sponge{1.0, 2.0, 76 * degrees, 100 * degrees, 0.0, 4.5};
constexpr MuscleStrips muscles{9.0, 3.0};

struct Ball {
    double hour, polar, height_mm, radius_mm, hounsfield;
};

struct Scene {
    std::optional<ShellSector> body = sponge;
    double body_hu = sponge_hu;
    std::vector<Ball> balls{};
    double dense_hu = 0.0, dense_mm = 4.0;   ///< added to fat that lies this near the sponge's sector
    double dense_everywhere_hu = 0.0;
    double noise_hu = 4.0;                   ///< standard deviation of a voxel
    double slice_mm = 1.0;
    bool lids = false, sinus = false;        ///< air before the eye; bone of 1 mm and air beyond it at the nasal side
};

/// A voxel holds the mean of 36 places (drawn_eye.h), each of an even spread of this half width.
inline const double samples_root = 6.0 * std::sqrt(3.0);

/// Even noise that is the same at each run: a mixing of the place (common practice, no source).
inline double noise_at(PatientPoint p) {
    auto h = static_cast<std::uint64_t>(static_cast<std::int64_t>(std::floor(p.x * 1000)) * 73856093 ^ static_cast<std::int64_t>(std::floor(p.y * 1000)) * 19349663 ^
                                        static_cast<std::int64_t>(std::floor(p.z * 1000)) * 83492791);
    h = (h ^ (h >> 33)) * 0xff51afd7ed558ccdULL;
    h = (h ^ (h >> 33)) * 0xc4ceb9fe1a85ec53ULL;
    return static_cast<double>(h >> 11) / 4503599627370496.0 - 1.0;
}

/// Is the place within this distance of the sector? The sector made wider all round serves.
inline bool is_near(const ShellSector& s, EyePoint e, double mm) {
    ShellSector wider = s;
    const double angle = mm / (radius + 2.0);
    wider.from_hour = std::fmod(s.from_hour - angle / (30.0 * degrees) + 12.0, 12.0), wider.span_hours += 2.0 * angle / (30.0 * degrees);
    wider.first_polar -= angle, wider.last_polar += angle, wider.inner_mm = 0.0, wider.outer_mm += mm;
    return wider.holds(e, radius);
}

inline double value_at(const Scene& scene, const EyeFrame& frame, Eye eye, PatientPoint p) {
    const EyePoint e = frame.to_eye(p);
    const double r = std::sqrt(e.x * e.x + e.y * e.y + e.z * e.z), noise = samples_root * scene.noise_hu * noise_at(p);
    for (const Ball& b : scene.balls) {
        const double along = b.hour * 30.0 * degrees, from = radius + b.height_mm;
        const double x = from * std::sin(b.polar) * std::sin(along), y = from * std::sin(b.polar) * std::cos(along), z = from * std::cos(b.polar);
        if (std::hypot(e.x - x, e.y - y, e.z - z) < b.radius_mm) return b.hounsfield;
    }
    if (scene.body && r > radius && scene.body->holds(e, radius)) return scene.body_hu + noise;
    if (r < radius - 1.1) return vitreous_hu + noise;
    if (r < radius) return wall_hu + noise;
    if (r > radius + 13.0) return fat_hu + noise;  // beyond what is looked at
    if (scene.lids && p.y < -radius - 2.0) return gas_hu;
    const double nasal = eye == Eye::left ? -p.x : p.x;
    if (scene.sinus && nasal > radius + 6.0) return nasal > radius + 7.0 ? gas_hu : bone_hu;
    if (muscles.hold(e, radius)) return muscle_hu + noise;
    return fat_hu + noise + scene.dense_everywhere_hu + (scene.dense_hu != 0.0 && is_near(sponge, e, scene.dense_mm) ? scene.dense_hu : 0.0);
}

inline EyeView view(Eye eye, const Scene& scene, SeriesRole role = SeriesRole::ct_soft) {
    Globe globe = ball_globe(eye, {0, 0, 0}, radius);
    globe.interior_mean = vitreous_hu;
    globe.interior_spread = scene.noise_hu;
    const EyeFrame frame = globe.frame;
    const int slices = static_cast<int>(52.0 / scene.slice_mm);
    return {0, Modality::ct, role, 120.0,
            PolarBlock(drawn_grid({0, 2, 0}, {74, 74, slices}, {0.7, 0.7, scene.slice_mm}, [&](PatientPoint p) { return value_at(scene, frame, eye, p); }), globe)};
}

inline InflammationReading read(const Scene& own, const Scene& fellow, SeriesRole role = SeriesRole::ct_soft) {
    const EyeView here = view(Eye::left, own, role), there = view(Eye::right, fellow, role);
    std::vector<EyeElement> elements;
    if (own.body) elements.push_back({0, element_of(*own.body, own.body_hu < fat_hu ? Appearance::ct_dark : Appearance::ct_bright, own.body_hu, fat_hu), {}});
    std::vector<const EyeElement*> listed;
    for (const EyeElement& e : elements) listed.push_back(&e);
    return signs_of_inflammation({&here}, {&there}, listed, {});
}

inline Scene free_eye(Scene like) {
    like.body.reset();
    like.balls.clear();
    like.dense_hu = like.dense_everywhere_hu = 0.0;
    return like;
}

/// Against a free fellow in images of the same kind.
inline InflammationReading read(const Scene& own, SeriesRole role = SeriesRole::ct_soft) { return read(own, free_eye(own), role); }

/// In the fat before the sponge's end, clear of it and of the wall.
constexpr Ball bubble{4.4, 88 * degrees, 4.0, 2.5, gas_hu};

inline Scene with(std::vector<Ball> balls) {
    Scene scene;
    scene.balls = std::move(balls);
    return scene;
}

}  // namespace perisclera::test::beside
