// SPDX-License-Identifier: Apache-2.0
#include "tests/support/drawn_eye.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perisclera::test {

namespace {

/// Length shared by [a, b] and [c, d].
double shared(double a, double b, double c, double d) { return std::max(0.0, std::min(b, d) - std::max(a, c)); }

}  // namespace

VoxelGrid drawn_grid(PatientPoint middle, std::array<int, 3> size, std::array<double, 3> spacing, const std::function<double(PatientPoint)>& value) {
    const PatientVector half{0.5 * (size[0] - 1) * spacing[0], 0.5 * (size[1] - 1) * spacing[1], 0.5 * (size[2] - 1) * spacing[2]};
    const auto geometry = VolumeGeometry::make(middle - half, {1, 0, 0}, {0, 1, 0}, {0, 0, spacing[2]}, {spacing[0], spacing[1]}, size);
    constexpr std::array<double, 3> in_plane{-1.0 / 3, 0.0, 1.0 / 3};
    constexpr std::array<double, 4> across{-0.375, -0.125, 0.125, 0.375};
    std::vector<float> values;
    for (int z = 0; z < size[2]; ++z)
        for (int y = 0; y < size[1]; ++y)
            for (int x = 0; x < size[0]; ++x) {
                double sum = 0.0;
                for (const double c : across)
                    for (const double b : in_plane)
                        for (const double a : in_plane) sum += value(geometry.value().to_patient({x + a, y + b, z + c}));
                values.push_back(static_cast<float>(sum / 36.0));
            }
    return VoxelGrid(geometry.value(), std::move(values));
}

Globe ball_globe(Eye eye, PatientPoint centre, double outer_radius_mm) {
    return {eye, EyeFrame(centre, {0, -1, 0}, {0, 0, 1}), Degrees(1.0), Mm(0.1), SmoothRadius({outer_radius_mm}, {0, -1, 0}), Mm(0.1), 8.0, 1.0, 40.0, Mm(0.1),
            Unmeasured{"not asked for"}, Unmeasured{"not asked for"}};
}

EyeLayer eye_layer(PatientVector d, double outer_radius_mm) {
    constexpr double limbus_mm = 5.85, corneal_radius_mm = 7.8, corneal_thickness_mm = 0.55;
    const double limbus_ahead = std::sqrt(outer_radius_mm * outer_radius_mm - limbus_mm * limbus_mm);
    const double corneal_centre = limbus_ahead - std::sqrt(corneal_radius_mm * corneal_radius_mm - limbus_mm * limbus_mm);
    if (-d.y > limbus_ahead) {
        const double r = std::hypot(d.x, d.y + corneal_centre, d.z);
        return r < corneal_radius_mm - corneal_thickness_mm ? EyeLayer::fluid : r < corneal_radius_mm ? EyeLayer::wall : EyeLayer::outside;
    }
    const double r = length(d), behind = std::max(0.0, std::asin(std::clamp(d.y / std::max(r, 1e-9), -1.0, 1.0)) / (std::numbers::pi / 2.0));  // 0 at the equator, 1 at the pole
    const double sclera = behind < 0.5 ? std::lerp(0.42, 0.65, 2.0 * behind) : std::lerp(0.65, 0.94, 2.0 * behind - 1.0);
    return r < outer_radius_mm - sclera - 0.4 ? EyeLayer::fluid : r < outer_radius_mm ? EyeLayer::wall : EyeLayer::outside;
}

bool ShellSector::holds(EyePoint p, double outer_radius_mm) const {
    const double height = std::hypot(p.x, p.y, p.z) - outer_radius_mm, polar = polar_angle(p);
    if (height < inner_mm || height > outer_mm || polar < first_polar || polar > last_polar) return false;
    return span_hours >= 12.0 || ClockPosition(from_hour).clockwise_to(clock_of(p)).value() <= span_hours;
}

double ShellSector::volume_mm3(double outer_radius_mm) const {
    const double angle = span_hours * std::numbers::pi / 6.0;
    return angle * (std::cos(first_polar) - std::cos(last_polar)) * (std::pow(outer_radius_mm + outer_mm, 3) - std::pow(outer_radius_mm + inner_mm, 3)) / 3.0;
}

double ShellSector::section_area_mm2(double outer_radius_mm) const {
    return (last_polar - first_polar) * (std::pow(outer_radius_mm + outer_mm, 2) - std::pow(outer_radius_mm + inner_mm, 2)) / 2.0;
}

FoundElement element_of(const ShellSector& sector, Appearance appearance, double signal, double background) {
    FoundElement element{appearance, {}, signal, 0.0, background, false, sector.span_hours >= 12.0, 3.0};
    constexpr double clock_step = 12.0 / PolarBlock::clock_count;
    for (std::size_t i = 0; i < PolarBlock::cell_count; ++i) {
        const PolarCell c = PolarBlock::cell(i);
        const double hour = PolarBlock::clock_hours(c.clock), polar = PolarBlock::polar_radians(c.polar), height = PolarBlock::height_mm(c.height);
        double round = 0.0;
        for (const double turn : {-12.0, 0.0, 12.0})
            round += shared(hour - clock_step / 2, hour + clock_step / 2, sector.from_hour + turn, sector.from_hour + sector.span_hours + turn) / clock_step;
        const double along = shared(polar - PolarBlock::polar_step / 2, polar + PolarBlock::polar_step / 2, sector.first_polar, sector.last_polar) / PolarBlock::polar_step;
        const double up = shared(height - PolarBlock::height_step_mm / 2, height + PolarBlock::height_step_mm / 2, sector.inner_mm, sector.outer_mm) / PolarBlock::height_step_mm;
        const double share = std::min(round, 1.0) * along * up;
        if (share > 0.0) element.cells.push_back({i, static_cast<float>(share)});
    }
    return element;
}

double middle_hour(const FoundElement& element) {
    double x = 0.0, y = 0.0;
    for (const ElementCell& c : element.cells) {
        const double angle = PolarBlock::clock_hours(PolarBlock::cell(c.index).clock) * std::numbers::pi / 6.0;
        x += static_cast<double>(c.share) * std::sin(angle);
        y += static_cast<double>(c.share) * std::cos(angle);
    }
    return ClockPosition::from_components(x, y).hours();
}

}  // namespace perisclera::test
