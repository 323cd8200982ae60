// SPDX-License-Identifier: Apache-2.0
#pragma once
// A body of the measured half: its true material, and the readings that a program would have of it.
#include <cstdint>
#include <optional>
#include <string>

#include "body_kind.h"
#include "true_signals.h"

namespace perisclera::material_sweep {

/// How it is imaged, known to whoever judges.
struct Conditions {
    std::string series;
    double kvp, slice_mm;   ///< slices of MR
    phantoms::MrSetting t1, t2;
    double ct_uncertainty, ratio_uncertainty, thickness_uncertainty, wall_uncertainty;   ///< stated: HU, ratio, mm, mm
    bool own_signs;         ///< series besides its own show it as well, so that it is read there however thin it is
    bool mass;              ///< known only by the fat it holds off

    [[nodiscard]] bool has(const char* contrast) const { return series.find(contrast) != std::string::npos; }
};

/// What departs outside the program's assumptions, besides fillers and densities.
struct Disorder {
    double noise_factor;     ///< true noise over stated
    double gain_spread;      ///< of ratios, by fields that are not even
    double polymer_spread;   ///< of what a hydrogel's polymer adds on CT, by its dry density
    double misread_share;    ///< of readings by place, that are of something else
};
Disorder disorder(bool outside);
/// A misread ratio lies evenly from 0 to this.
double highest_misread(EvidenceKind kind);

/// Shares of the classes among what is drawn: the program's prior; of masses assumed.
PerClass class_share(bool mass);
/// May this kind be met so? Masses are hydrogels with much water and soft or fluid tissue; MR alone finds nothing thinner than thinnest_on_mr_mm.
bool may_be_met(const BodyKind& kind, const Conditions& conditions);
std::array<double, 2> thickness_range(const BodyKind& kind, const Conditions& conditions);
inline constexpr double thinnest_on_mr_mm = 1.5, wettest_mass_from = 0.45;

/// A layer thinner than thin_mm and brighter than bright_hu shows a peak, no number of its own.
inline constexpr double thin_mm = 1.5, bright_hu = 90.0, peak_surround_hu = 20.0, least_peak_share = 0.4, span_uncertainty = 0.15;
/// The most that what lies beside it may make up of a ratio; less where the series itself shows it and its darkest or brightest part is read.
double most_diluted(double thickness_mm, double slice_mm, bool by_place);

struct DrawnMeasurement {
    Conditions conditions;
    const BodyKind* kind;
    double latent, thickness_mm, span_hours;
    bool outside_assumptions;
    std::vector<Reading> readings;
};

/// The same seed and number give the same.
DrawnMeasurement draw_measurement(std::uint64_t seed, int number, TrueSignals& signals);

}  // namespace perisclera::material_sweep
