// SPDX-License-Identifier: Apache-2.0
#pragma once
// One series of one eye, resampled once into the eye's own polar grid: clock position, angle from the anterior axis,
// height above the outer sclera. In it every series of an eye lies in one frame (the eye turns between scans, the
// grid turns with it), a section at a clock hour is a plane of the grid, and the fellow eye is the mirrored clock.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "perisclera/anatomy/globe.h"

namespace perisclera {

/// Of the circle about the eye's axis from which distances count.
inline constexpr double limbus_radius_mm = 5.9;
/// Where it lies on a globe of this outer radius: angle from the axis, radians.
inline double limbus_angle(double radius_mm) { return std::asin(std::min(1.0, limbus_radius_mm / radius_mm)); }

/// A cell of the polar grid.
struct PolarCell {
    int clock, polar, height;
};

class PolarBlock {
public:
    static constexpr int clock_count = 120;     ///< 0.1 hour each, cyclic
    static constexpr int polar_count = 80;      ///< 2 degrees each, from 5 degrees
    static constexpr int height_count = 37;     ///< 0.5 mm each, from -6 mm
    static constexpr double polar_first = 5.0 * std::numbers::pi / 180.0, polar_step = 2.0 * std::numbers::pi / 180.0;
    static constexpr double height_first_mm = -6.0, height_step_mm = 0.5;
    static constexpr std::size_t cell_count = static_cast<std::size_t>(clock_count) * polar_count * height_count;

    /// Samples the grid by trilinear interpolation; cells outside the images are marked.
    PolarBlock(const VoxelGrid& grid, Globe globe);

    [[nodiscard]] static std::size_t index(int clock, int polar, int height) {
        return (static_cast<std::size_t>(clock) * polar_count + static_cast<std::size_t>(polar)) * height_count + static_cast<std::size_t>(height);
    }
    [[nodiscard]] static PolarCell cell(std::size_t index) {
        const auto h = static_cast<int>(index % height_count), rest = static_cast<int>(index / height_count);
        return {rest / polar_count, rest % polar_count, h};
    }
    /// The same place on the other eye: the clock runs the same way on both, nasal and temporal change sides.
    [[nodiscard]] static std::size_t mirrored(std::size_t index) {
        const PolarCell c = cell(index);
        return PolarBlock::index((clock_count - c.clock) % clock_count, c.polar, c.height);
    }
    [[nodiscard]] static double clock_hours(int clock) { return 0.1 * clock; }
    [[nodiscard]] static double polar_radians(int polar) { return polar_first + polar_step * polar; }
    [[nodiscard]] static double height_mm(int height) { return height_first_mm + height_step_mm * height; }

    [[nodiscard]] float value(std::size_t i) const { return value_[i]; }
    [[nodiscard]] const std::vector<float>& values() const { return value_; }
    [[nodiscard]] bool inside(std::size_t i) const { return inside_[i] != 0; }
    [[nodiscard]] const Globe& globe() const { return globe_; }
    /// Of the grid the block was sampled from.
    [[nodiscard]] const VolumeGeometry& geometry() const { return geometry_; }
    /// Outer scleral radius under a column of the grid, mm.
    [[nodiscard]] double outer_radius_mm(int clock, int polar) const { return radius_[static_cast<std::size_t>(clock * polar_count + polar)]; }
    /// Volume of a cell, mm3.
    [[nodiscard]] double cell_volume_mm3(PolarCell c) const {
        const double r = outer_radius_mm(c.clock, c.polar) + height_mm(c.height);
        return r * r * std::sin(polar_radians(c.polar)) * polar_step * (2.0 * std::numbers::pi / clock_count) * height_step_mm;
    }
    /// Area of a cell in the half-plane at its clock position, mm2.
    [[nodiscard]] double cell_area_mm2(PolarCell c) const {
        return (outer_radius_mm(c.clock, c.polar) + height_mm(c.height)) * polar_step * height_step_mm;
    }
    /// Polar angle of the limbus circle on this globe, radians.
    [[nodiscard]] double limbus_polar() const { return limbus_angle(equatorial_radius_); }
    /// Arc from the limbus on the outer sclera, mm (negative in front of it).
    [[nodiscard]] double limbus_arc_mm(double polar) const { return (polar - limbus_polar()) * equatorial_radius_; }
    [[nodiscard]] double equatorial_radius_mm() const { return equatorial_radius_; }
    [[nodiscard]] EyePoint eye_point(double clock_hours, double polar, double height_mm) const;
    [[nodiscard]] PatientPoint patient_point(double clock_hours, double polar, double height_mm) const {
        return globe_.frame.to_patient(eye_point(clock_hours, polar, height_mm));
    }
    /// Spacing of the series the block was sampled from: in the slice plane (the larger) and between slices, mm.
    [[nodiscard]] double in_plane_mm() const { return in_plane_mm_; }
    [[nodiscard]] double slice_spacing_mm() const { return slice_spacing_mm_; }
    [[nodiscard]] double largest_spacing_mm() const { return std::max(in_plane_mm_, slice_spacing_mm_); }
    /// Share of the cells between `low` and `high` mm above the sclera that lie inside the images.
    [[nodiscard]] double coverage(double low, double high) const;
    /// Signal of the orbital tissue round the back of the globe, fat and muscle together, as quantile q; 0 where it is not imaged.
    [[nodiscard]] double orbit_signal(double q) const;
    /// Values after a small binomial filter in all three directions (noise before thresholds).
    [[nodiscard]] const std::vector<float>& smoothed() const { return smoothed_; }

private:
    Globe globe_;
    VolumeGeometry geometry_;
    double equatorial_radius_, in_plane_mm_, slice_spacing_mm_;
    std::vector<float> value_, smoothed_;
    std::vector<char> inside_;
    std::vector<double> radius_;
};

}  // namespace perisclera
