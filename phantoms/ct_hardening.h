// SPDX-License-Identifier: Apache-2.0
// What a scanner that is calibrated on water makes of bone and metal. Each ray's signal is the sum over the tube's spectrum; the scanner turns it into
// the length of water that would weaken the beam as much; where there is more than water in the way, that length is not the sum of what lies there. The
// difference, reconstructed like an image, is cupping beneath the skull, dark bands between dense bones and streaks between metals (Brooks and Di Chiro
// 1976, Phys Med Biol 21:390).
#pragma once

#include <vector>

#include "ct_beam.h"
#include "plane_filter.h"

namespace perisclera::phantoms {

/// A plane across the scanner as what its pixels hold of each: shares of their volume, water weighted by its density.
struct PlaneContent {
    Image water, bone, metal;
    double pitch_mm;
};

class CtHardening {
public:
    /// `metal`: what the metal is, if there is any. bone_share: how much of bone's error the scanner's own correction leaves, 0 to 1.
    CtHardening(double kvp, const Substance& metal, double bone_share);
    /// By how much each pixel reads too high, HU. More angles draw finer streaks.
    [[nodiscard]] Image error(const PlaneContent& content, int angles) const;
    /// How many centimetres of water the scanner takes this way for, beyond what it should: positive reads too high.
    [[nodiscard]] double excess_water_cm(double water_cm, double bone_cm, double metal_cm) const;

private:
    struct Bin {
        double weight, water, bone, metal;  ///< share of the signal; 1/cm
    };
    [[nodiscard]] double signal(double water_cm, double bone_cm, double metal_cm) const;
    [[nodiscard]] double as_water_cm(double signal) const;
    std::vector<Bin> bins_;
    std::vector<double> log_of_water_;  ///< -log of the signal behind so many steps of water
    double bone_as_water_, metal_as_water_, bone_share_;
};

}  // namespace perisclera::phantoms
