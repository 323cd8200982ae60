// SPDX-License-Identifier: Apache-2.0
#pragma once
// Images and globes drawn from formulas, for checks against closed forms. Patient coordinates, mm. Shares no code with the phantoms.
#include <array>
#include <functional>

#include "perisclera/alignment/polar_block.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera::test {

/// An axial stack about `middle` whose voxels hold the mean of `value` over each voxel (3 x 3 points in plane, 4 across the slice).
VoxelGrid drawn_grid(PatientPoint middle, std::array<int, 3> size, std::array<double, 3> spacing, const std::function<double(PatientPoint)>& value);

/// An exact ball looking straight ahead, its outer radius known to 0.1 mm.
Globe ball_globe(Eye eye, PatientPoint centre, double outer_radius_mm);

/// What lies at a place of an eye that looks straight ahead: a ball with a cornea before it. The wall is sclera as published (Vurgese S et al., PLoS ONE 2012;7:e29692:
/// 0.42 mm at the equator, 0.65 half way to the posterior pole, 0.94 there) with 0.4 mm of retina and choroid; the cornea, 0.55 mm thick and of 7.8 mm radius, meets
/// it 5.85 mm from the axis (common practice, no source).
enum class EyeLayer { fluid, wall, outside };
EyeLayer eye_layer(PatientVector from_centre, double outer_radius_mm);

/// A part of a spherical shell about the globe: clock hours (clockwise, may pass 12), polar angles and heights above the sclera.
struct ShellSector {
    double from_hour, span_hours;
    double first_polar, last_polar;   ///< radians
    double inner_mm, outer_mm;        ///< heights

    [[nodiscard]] bool holds(EyePoint p, double outer_radius_mm) const;
    /// Closed form: angle times cosine difference times a third of the difference of the cubes.
    [[nodiscard]] double volume_mm3(double outer_radius_mm) const;
    /// Of the cut by a half-plane through the axis: angle times half the difference of the squares.
    [[nodiscard]] double section_area_mm2(double outer_radius_mm) const;
};

/// The sector as an element that fills exactly its share of each cell of the polar grid.
FoundElement element_of(const ShellSector& sector, Appearance appearance, double signal, double background);

/// Where on the clock the middle of the element's filled cells lies.
double middle_hour(const FoundElement& element);

}  // namespace perisclera::test
