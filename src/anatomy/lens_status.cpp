// SPDX-License-Identifier: Apache-2.0
#include "perisclera/anatomy/lens_status.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "perisclera/core/quantile.h"
#include "perisclera/core/text.h"
#include "perisclera/physics/intraocular_fluids.h"
#include "voxel_length.h"

namespace perisclera {

namespace {

constexpr double step = LensProfile::step_mm;
// Along the axis from the globe's centre: where the cavity is told, where a lens is sought, up to how far before the outer radius the cornea is not met.
constexpr double cavity_from_mm = 0.5, cavity_to_mm = 2.5, lens_from_mm = 2.5, cornea_mm = 2.2;
/// The back of a lens lies about 6.4 mm behind the outer radius, an implant about 5 (24 mm axis; common practice, no source).
constexpr double lens_back_mm = 5.0;

std::size_t index_of(double along_mm) { return static_cast<std::size_t>(std::lround(along_mm / step)); }

/// Departure from what the cavity shows, in one column: positive where a lens would lie.
struct Bump {
    double peak, from_mm, thickness_mm, integral;
    bool closed;   ///< falls to half before the cornea
};

Bump bump_of(const std::vector<double>& departure, double outer_radius_mm) {
    const auto first = departure.begin() + static_cast<std::ptrdiff_t>(index_of(lens_from_mm));
    const auto last = departure.begin() + static_cast<std::ptrdiff_t>(std::min(departure.size(), index_of(outer_radius_mm - cornea_mm)));
    if (first >= last) return {0.0, 0.0, 0.0, 0.0, false};
    const auto top = std::max_element(first, last);
    const double half = 0.5 * *top;
    auto from = top, to = top;
    while (from != departure.begin() && *from > half) --from;
    while (to != last && *to > half) ++to;
    const auto tail = [&](auto it, long by) { return std::clamp(it + by, departure.begin(), last); };
    const long margin = std::lround(1.0 / step);
    const double integral = step * std::accumulate(tail(from, -margin), tail(to, margin), 0.0);
    return {*top, step * static_cast<double>(from - departure.begin()), step * static_cast<double>(to - from - 1), integral, to != last};
}

struct Cavity {
    double value, noise;
};
Cavity cavity_of(const LensProfile& profile) {
    std::vector<double> values;
    for (const auto& column : profile.columns)
        for (std::size_t k = index_of(cavity_from_mm); k <= index_of(cavity_to_mm) && k < column.size(); ++k) values.push_back(column[k]);
    const double value = quantile(values, 0.5);
    for (double& v : values) v = std::abs(v - value);
    return {value, 1.4826 * quantile(std::move(values), 0.5)};
}

/// How the departures of lens, implant and noise lie apart in one kind of series.
struct Bounds {
    double seen;                               ///< a peak below this is none
    double natural_peak, natural_integral, natural_mm;
    double implant_low, implant_high;          ///< of the integral
};

LensOpinion by_bump(const LensProfile& profile, const Bounds& bounds, double sign, double scale, const Cavity& cavity) {
    constexpr double thickest_implant_mm = 2.3, finest_voxel_mm = 1.5;
    Bump best{0.0, 0.0, 0.0, 0.0, false};
    double highest = 0.0;
    for (const auto& column : profile.columns) {
        std::vector<double> departure;
        for (const double v : column) departure.push_back(sign * (v - cavity.value) / scale);
        const Bump bump = bump_of(departure, profile.outer_radius_mm);
        highest = std::max(highest, bump.peak);
        if (bump.integral > best.integral) best = bump;
    }
    const double noise = cavity.noise / scale;
    if (highest < bounds.seen && profile.voxel_mm > finest_voxel_mm) return {LensStatus::undetermined, say("lens.long_voxels")};
    if (highest < bounds.seen)
        return 4.0 * noise < bounds.seen ? LensOpinion{LensStatus::none, say("lens.nothing_departs")} : LensOpinion{LensStatus::undetermined, say("lens.noise")};
    if (best.peak < 5.0 * noise) return {LensStatus::undetermined, say("lens.noise")};
    const std::string thick = say("lens.thick", {{"thickness", std::to_string(std::lround(best.thickness_mm))}});
    if (best.peak >= bounds.natural_peak && best.integral >= bounds.natural_integral && best.thickness_mm >= bounds.natural_mm && best.from_mm <= profile.outer_radius_mm - lens_back_mm)
        return {LensStatus::natural, thick};
    if (best.closed && best.thickness_mm <= thickest_implant_mm && best.integral >= bounds.implant_low && best.integral <= bounds.implant_high && profile.voxel_mm <= finest_voxel_mm)
        return {LensStatus::implant, say("lens.thin")};
    return {LensStatus::undetermined, say("lens.something")};
}

/// Between fluid in front and something else behind, a natural lens shows as a step of its own, 4 mm deep.
LensOpinion between_unlike(const LensProfile& profile, double cavity) {
    constexpr double usual_lens_hu = 79.0, lens_low = 50.0, lens_high = 115.0, chamber_low = -25.0, chamber_high = 33.0;
    const double half_way = 0.5 * (cavity + usual_lens_hu);
    for (const auto& column : profile.columns) {
        std::size_t edge = index_of(lens_from_mm);
        while (edge < column.size() && (column[edge] < half_way) == (cavity < half_way)) ++edge;
        const auto mean = [&](double from_mm, double to_mm) {
            const std::size_t a = edge + index_of(from_mm), b = std::min(column.size(), edge + index_of(to_mm));
            return a < b ? std::accumulate(column.begin() + static_cast<std::ptrdiff_t>(a), column.begin() + static_cast<std::ptrdiff_t>(b), 0.0) / static_cast<double>(b - a) : 0.0;
        };
        const double plateau = mean(1.0 + 0.5 * profile.voxel_mm, 3.0), chamber = mean(4.5, 6.0);
        if (plateau > lens_low && plateau < lens_high && chamber > chamber_low && chamber < chamber_high) return {LensStatus::natural, say("lens.step")};
    }
    return {LensStatus::undetermined, say("lens.implant_or_none")};
}

LensOpinion on_ct(const LensProfile& profile, double behind) {
    // A natural lens shows 50 to 110 HU over 4 mm, one clouded by injury 30 HU less; acrylic glass 119 HU over 1 mm, of which blur leaves half, while a
    // 0.4 mm iris shows 15 HU.
    constexpr Bounds bounds{27.0, 27.0, 130.0, 2.8, 25.0, 170.0};
    constexpr double alike_hu = 45.0, usual_lens_hu = 79.0;
    if (behind >= watery_hu().low && behind <= blood_hu().low) return by_bump(profile, bounds, 1.0, 1.0, cavity_of(profile));
    if (std::abs(behind - usual_lens_hu) < alike_hu) return {LensStatus::undetermined, say("lens.as_dense")};
    if (gas_hu().holds(behind) || (behind > usual_lens_hu && behind < heavy_liquid_hu().high)) return between_unlike(profile, behind);
    return {LensStatus::undetermined, say("lens.filling_unknown")};
}

}  // namespace

LensProfile read_lens_profile(const VoxelGrid& grid, const Globe& globe) {
    constexpr double disc_mm = 1.5, spacing_mm = 0.5, beside_mm = 2.5, before_mm = 3.0;
    const PatientVector axis = globe.frame.anterior(), up = globe.frame.superior(), left = globe.frame.towards_left();
    const auto& g = grid.geometry();
    LensProfile profile{{}, globe.equatorial_radius_mm(), voxel_length_mm(g, axis)};
    for (const double x : {0.0, -beside_mm, beside_mm})
        for (const double y : {0.0, -beside_mm, beside_mm}) {
            std::vector<double> column;
            for (std::size_t k = 0; k <= index_of(profile.outer_radius_mm + before_mm); ++k) {
                double sum = 0.0;
                int count = 0;
                for (double a = -disc_mm; a <= disc_mm; a += spacing_mm)
                    for (double b = -disc_mm; b <= disc_mm; b += spacing_mm) {
                        if (a * a + b * b > disc_mm * disc_mm) continue;
                        sum += static_cast<double>(grid.sample(globe.frame.origin() + axis * (step * static_cast<double>(k)) + left * (x + a) + up * (y + b)));
                        ++count;
                    }
                column.push_back(sum / count);
            }
            profile.columns.push_back(std::move(column));
        }
    return profile;
}

double watery_chamber_mm(const LensProfile& profile) {
    constexpr double behind_mm = 6.5, before_mm = 1.5, low_hu = -25.0, high_hu = 33.0;
    std::size_t longest = 0;
    for (const auto& column : profile.columns) {
        std::size_t run = 0;
        for (std::size_t k = index_of(profile.outer_radius_mm - behind_mm); k < std::min(column.size(), index_of(profile.outer_radius_mm + before_mm)); ++k) {
            run = column[k] > low_hu && column[k] < high_hu ? run + 1 : 0;
            longest = std::max(longest, run);
        }
    }
    return step * static_cast<double>(longest);
}

std::optional<double> signal_behind_lens(const CavityReading& cavity, PatientVector anterior, PatientVector down) {
    if (const auto* even = std::get_if<EvenCavity>(&cavity)) return even->whole.value;
    if (const auto* uneven = std::get_if<UnevenCavity>(&cavity)) return uneven->main.value;
    const auto& layered = std::get<LayeredCavity>(cavity);
    const double faces_down = dot(anterior, down);
    constexpr double plainly = 0.5;
    if (std::abs(faces_down) < plainly) return std::nullopt;
    return faces_down < 0.0 ? layered.upper.value : layered.lower.value;
}

LensOpinion judge_lens(const LensProfile& profile, Modality modality, SeriesRole role, std::optional<double> behind, double orbit) {
    constexpr double alike_hu = 25.0, alike_share = 0.25;
    const Cavity cavity = cavity_of(profile);
    const double alike = modality == Modality::ct ? alike_hu : alike_share * cavity.value;
    if (!behind || std::abs(*behind - cavity.value) > alike) return {LensStatus::undetermined, say("lens.uneven_behind")};
    if (modality == Modality::ct) return on_ct(profile, *behind);
    // Watery fluid against the orbit's brightest tissue, which is fat, or muscle where fat is suppressed.
    constexpr double bright_beside_fat = 0.85, bright_beside_muscle = 2.8, darkest = 0.10, brightest_on_t1 = 0.36;
    switch (role) {
        case SeriesRole::t2:
        case SeriesRole::t2_fatsat:
        case SeriesRole::stir: {
            // Departures as shares of the fluid's signal: a lens of 4 mm takes most of it away, an optic all of it over 1 mm.
            constexpr Bounds bounds{0.27, 0.5, 1.5, 2.3, 0.3, 1.5};
            if (orbit <= 0.0 || cavity.value < (role == SeriesRole::t2 ? bright_beside_fat : bright_beside_muscle) * orbit) return {LensStatus::undetermined, say("lens.no_plain_fluid")};
            return by_bump(profile, bounds, -1.0, cavity.value, cavity);
        }
        case SeriesRole::t1:
        case SeriesRole::t1_contrast: {
            // Implant and fluid are both dark: only a natural lens, brighter than fluid, is told.
            constexpr Bounds bounds{0.15, 0.2, 0.6, 2.8, 1e9, 1e9};
            if (orbit <= 0.0 || cavity.value < darkest * orbit || cavity.value > brightest_on_t1 * orbit) return {LensStatus::undetermined, say("lens.no_plain_fluid")};
            LensOpinion opinion = by_bump(profile, bounds, 1.0, cavity.value, cavity);
            if (opinion.kind == LensStatus::none) opinion = {LensStatus::undetermined, say("lens.t1_shows_neither")};
            return opinion;
        }
        default: return {LensStatus::undetermined, say("lens.series_does_not_tell")};
    }
}

LensOpinion joined(const std::vector<LensOpinion>& opinions) {
    LensOpinion told{LensStatus::undetermined, say("lens.no_series")};
    for (const LensOpinion& opinion : opinions) {
        if (opinion.kind == LensStatus::undetermined) {
            if (told.kind == LensStatus::undetermined) told.why = opinion.why;
        } else if (told.kind == LensStatus::undetermined) {
            told = opinion;
        } else if (told.kind != opinion.kind) {
            return {LensStatus::undetermined, say("lens.contradictory")};
        }
    }
    return told;
}

}  // namespace perisclera
