// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/fellow_atlas.h"

#include <algorithm>
#include <cmath>

#include "columns.h"

namespace perisclera {

bool serves_as_atlas(const PolarBlock& own, const PolarBlock& fellow) {
    // Globes of one person differ by tenths of a millimetre across the axis (common practice, no source); the rest is room for the fit.
    constexpr double most_mm = 1.0;
    return own.equatorial_radius_mm() - fellow.equatorial_radius_mm() <= most_mm;
}

std::vector<std::optional<std::size_t>> mirrored_in_head(const PolarBlock& own, const PolarBlock& fellow) {
    const EyeFrame &frame = own.globe().frame, &other = fellow.globe().frame;
    // An eye is its own fellow in tests only.
    const PatientVector between = other.origin() - frame.origin(), across = length(between) > 0.0 ? unit(between) : frame.towards_left();
    std::vector<std::optional<std::size_t>> place(column_count);
    for (std::size_t k = 0; k < column_count; ++k) {
        const ColumnAt at = column_at(k);
        const PatientPoint on_wall = own.patient_point(PolarBlock::clock_hours(at.clock), PolarBlock::polar_radians(at.polar), 0.0);
        const PatientVector out = on_wall - frame.origin(), mirrored = out - across * (2.0 * dot(out, across));
        const EyePoint there = other.to_eye(other.origin() + mirrored);
        const int polar = static_cast<int>(std::lround((polar_angle(there) - PolarBlock::polar_first) / PolarBlock::polar_step));
        if (polar < 0 || polar >= PolarBlock::polar_count) continue;
        const int clock = static_cast<int>(std::lround(clock_of(there).hours() / PolarBlock::clock_hours(1)));
        place[k] = column(clock % PolarBlock::clock_count, polar);
    }
    return place;
}

std::vector<char> columns_opposite(const std::vector<const FoundElement*>& elements_of_fellow) {
    constexpr int beside_clock = 10, beside_polar = 8;  // an hour and 3.5 mm
    ColumnMask taken(column_count, 0);
    for (const FoundElement* element : elements_of_fellow)
        for (const ElementCell& cell : element->cells) {
            const PolarCell at = PolarBlock::cell(PolarBlock::mirrored(cell.index));
            taken[column(at.clock, at.polar)] = 1;
        }
    return widened(taken, beside_clock, beside_polar);
}

bool lies_opposite(const FoundElement& element, const FoundElement& of_fellow) {
    const ColumnMask taken = columns_opposite({&of_fellow});
    const auto there = std::count_if(element.cells.begin(), element.cells.end(), [&](const ElementCell& c) {
        const PolarCell at = PolarBlock::cell(c.index);
        return taken[column(at.clock, at.polar)] != 0;
    });
    return 3 * static_cast<std::size_t>(there) >= element.cells.size();
}

}  // namespace perisclera
