// SPDX-License-Identifier: Apache-2.0
// The smallest band and sponge that the thresholds of detection would let through at this blur and noise. Blur: a soft
// kernel's 1.2 mm in plane (0.37 cycles/mm at half modulation, J Appl Clin Med Phys 2018, PMC6236841) or two pixels, slices
// met half across and half along, and the smoothing before the search. Share of contrast shown by a slab: erf of its
// thickness over the blur (closed form); by a cylinder: 1 - exp(-d^2 / 8 sigma^2).
#include <cmath>

#include "perisclera/physics/material_table.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

namespace {

constexpr double fwhm_to_sigma = 1.0 / 2.3548;

double blur_sigma_mm(const PolarBlock& block) {
    const double in_plane = std::max(1.2, 2.0 * block.in_plane_mm()), across = 0.6 * block.slice_spacing_mm(), search = 0.9;
    return std::sqrt(in_plane * in_plane + across * across + search * search) * fwhm_to_sigma;
}

}  // namespace

SmallestShown smallest_shown(const PolarBlock& block, const FinderSettings& settings) {
    SmallestShown shown;
    // The search needs whole columns round the equator.
    if (block.coverage(-2.0, 5.0) < 0.9) return shown;
    const double sigma = blur_sigma_mm(block);
    if (settings.modality == Modality::mr) {
        // A void must be 2.5 mm thick after blur to stand out from sclera and tendon.
        if (block.slice_spacing_mm() <= 3.5) shown.sponge_diameter_mm = std::max(3.5, 1.2 * block.slice_spacing_mm());
        return shown;
    }
    constexpr double ring_gain_hu = 30.0, band_width_mm = 2.5, behind_hu = 20.0, safety = 1.35, sponge_threshold_hu = -260.0, tissue_hu = 20.0;
    const double noise = block.globe().interior_spread;
    const double contrast = solid_silicone_hu(settings.kvp).mean - behind_hu;
    const double across_width = std::erf(0.5 * band_width_mm / (std::sqrt(2.0) * sigma));
    // In tenths of a millimetre: finer would pretend to a knowledge of the scanner's blur.
    for (int tenths = 3; tenths <= 100; ++tenths) {
        const double t = tenths / 10.0;
        const double gain = contrast * std::erf(0.5 * t / (std::sqrt(2.0) * sigma)) * across_width;
        if (gain < safety * ring_gain_hu + 0.5 * noise) continue;
        shown.band_thickness_mm = t;
        break;
    }
    for (int tenths = 15; tenths <= 100; ++tenths) {
        const double d = tenths / 10.0;
        const double lowest = tissue_hu + (sponge_hu().mean - tissue_hu) * (1.0 - std::exp(-d * d / (8.0 * sigma * sigma)));
        if (lowest > sponge_threshold_hu - noise) continue;
        shown.sponge_diameter_mm = d;
        break;
    }
    return shown;
}

}  // namespace perisclera
