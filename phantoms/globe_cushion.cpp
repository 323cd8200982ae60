// SPDX-License-Identifier: Apache-2.0
#include "globe_cushion.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "random_field.h"

namespace perisclera::phantoms {

namespace {

constexpr double waves_per_radian = 3.0;      // patches some 20 degrees across
constexpr double millimetres = 2.0;           // of thickness per standard deviation of the unevenness
constexpr double unlimited = 99.0;            // level at which nothing cushions the globe
constexpr double behind = 45.0 * pi / 180.0;  // behind the last polar angle the cushion thins out over this angle

}  // namespace

GlobeCushion::GlobeCushion(const CushionAnatomy& anatomy, double side, const std::function<std::optional<double>(HeadVector)>& fat_without)
    : side_(side) {
    std::uint64_t index = 0;
    for (Wave& wave : waves_) {
        const auto next = [&] { return waves_per_radian * normal_number(anatomy.key, index++); };
        wave = {{next(), next(), next()}, 2.0 * pi * normal_number(anatomy.key, index++)};
    }
    // Directions alike in area. Fat still shows where the cushion ends below the height that it reaches: of those with fat near the wall as many
    // are to have their level above that as make up the stated share of all.
    std::vector<double> values;
    constexpr int rows = 24, columns = 72;
    for (int i = 0; i < rows; ++i)
        for (int j = 0; j < columns; ++j) {
            const double z = std::lerp(std::cos(first_polar), std::cos(last_polar), (i + 0.5) / rows), clock = 2.0 * pi * j / columns,
                         r = std::sqrt(1.0 - z * z);
            const HeadVector direction{r * std::sin(clock), -z, r * std::cos(clock)};
            if (const auto top = fat_without(direction)) values.push_back(unevenness(direction) + (near_wall_mm - *top) / millimetres);
        }
    std::sort(values.begin(), values.end());
    const auto below = static_cast<std::size_t>(anatomy.fat_share * rows * columns);
    level_ = below < values.size() ? values[below] : unlimited;
}

double GlobeCushion::unevenness(HeadVector direction) const {
    double sum = 0.0;
    for (const Wave& wave : waves_) sum += std::cos(dot(wave.frequency, direction) + wave.phase);
    return sum * std::sqrt(2.0 / static_cast<double>(waves_.size()));
}

double GlobeCushion::thickness(HeadVector direction) const {
    const double polar = std::acos(std::clamp(-direction.y, -1.0, 1.0));
    const double reach = 1.0 - smooth_step((polar - last_polar) / behind);
    if (reach <= 0.0) return 0.0;
    return reach * std::clamp(near_wall_mm + millimetres * (unevenness(direction) - level_), 0.0, thickest_mm);
}

std::optional<Tissue> GlobeCushion::at(HeadVector direction, double height) const {
    if (height > thickest_mm || height > thickness(direction)) return std::nullopt;
    const double anterior = -direction.y;
    if (anterior > 0.35) return Tissue::lid;
    if (direction.z > 0.25 && direction.x * side_ > 0.35) return Tissue::gland;
    return Tissue::muscle;
}

}  // namespace perisclera::phantoms
