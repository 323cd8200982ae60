// SPDX-License-Identifier: Apache-2.0
#pragma once
// What tissues and explants are to a magnet: relaxation by field strength, frequency of their protons, susceptibility, uptake of
// contrast agent. Not shared with the estimator's tables, so that one does not confirm the other.
#include "mr_signal.h"
#include "tissue.h"

namespace perisclera::phantoms {

/// MR stored units of fully relaxed water at echo time 0.
inline constexpr double stored_units = 2000.0;

Relaxation tissue_relaxation(Tissue tissue, double field_strength_tesla);

/// Relaxation of a hydrogel: fast exchange between free and bound water, the bound share growing as (1 - w) / w.
Relaxation hydrogel_relaxation(double water_fraction, double field_strength_tesla);

/// Frequency of the protons against water's, ppm.
double fat_shift_ppm();
double silicone_shift_ppm();

/// Susceptibility of gas against tissue, ppm (SI, by volume).
double gas_susceptibility_ppm();

/// How a label shows in one series.
struct MrLook {
    double signal;              ///< stored units, signed, fat not yet saturated
    double shift_ppm;           ///< frequency against water
    double susceptibility_ppm;  ///< against tissue
};
MrLook mr_look(Tissue tissue, const MrSetting& setting);
MrLook mr_look(const Element& element, const MrSetting& setting);

/// Share of the signal that a fat-saturating pulse leaves, by frequency against water, ppm.
double left_by_fat_saturation(double frequency_ppm);

}  // namespace perisclera::phantoms
