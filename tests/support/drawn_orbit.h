// SPDX-License-Identifier: Apache-2.0
#pragma once
// A globe in an orbit of fat with four muscles, drawn from formulas, with or without a body on it. Shares no code with the phantoms.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "tests/support/drawn_eye.h"

namespace perisclera::test {

/// What one series shows of the tissues.
struct OrbitSignals {
    double vitreous, wall, fat, muscle;
};

/// Four strips, on the sclera in front of the equator and 2.5 mm above it behind; `turned_hours` moves them all.
struct MuscleStrips {
    double wide_mm, thick_mm, turned_hours = 0.0;

    [[nodiscard]] bool hold(EyePoint e, double outer_radius_mm) const {
        constexpr double degrees = std::numbers::pi / 180.0;
        const double r = std::hypot(e.x, e.y, e.z), height = r - outer_radius_mm, polar = std::acos(e.z / r) / degrees;
        if (polar < 62.0 || polar > 150.0) return false;
        const double lowest = 2.5 * std::clamp((polar - 75.0) / 20.0, 0.0, 1.0);
        if (height < lowest || height > lowest + thick_mm) return false;
        const double hours = std::atan2(e.x, e.y) / (30.0 * degrees) - turned_hours;
        return std::abs(std::remainder(hours, 3.0)) * 30.0 * degrees * r * std::sin(polar * degrees) < 0.5 * wide_mm;
    }
};

/// The eye looks straight ahead from the patient's origin; slices of 1.5 mm.
inline PolarBlock drawn_orbit(Eye eye, double outer_radius_mm, const OrbitSignals& shown, const MuscleStrips& muscles, const std::vector<ShellSector>& bodies, double body_signal) {
    Globe globe = ball_globe(eye, {0, 0, 0}, outer_radius_mm);
    globe.interior_mean = shown.vitreous;
    const EyeFrame frame = globe.frame;
    constexpr double wall_mm = 1.1;
    return PolarBlock(drawn_grid({0, 2, 0}, {100, 100, 36}, {0.55, 0.55, 1.5}, [&](PatientPoint p) {
        const EyePoint e = frame.to_eye(p);
        if (std::any_of(bodies.begin(), bodies.end(), [&](const ShellSector& b) { return b.holds(e, outer_radius_mm); })) return body_signal;
        const double r = std::hypot(e.x, e.y, e.z);
        if (r < outer_radius_mm - wall_mm) return shown.vitreous;
        if (r < outer_radius_mm) return shown.wall;
        return muscles.hold(e, outer_radius_mm) ? shown.muscle : shown.fat;
    }), globe);
}

/// `body`: nullptr for none.
inline PolarBlock drawn_orbit(Eye eye, double outer_radius_mm, const OrbitSignals& shown, const MuscleStrips& muscles, const ShellSector* body = nullptr, double body_signal = 0.0) {
    return drawn_orbit(eye, outer_radius_mm, shown, muscles, body != nullptr ? std::vector{*body} : std::vector<ShellSector>{}, body_signal);
}

}  // namespace perisclera::test
