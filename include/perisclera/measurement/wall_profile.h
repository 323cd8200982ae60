// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal on a line across the wall through an element, in one series, and the layers that explain it: inside of the eye, wall, element, what lies outside, each of one
// signal, seen through the series' blur. An element thinner than the blur never shows its own signal; what survives is its contrast times its thickness. Thickness and
// signal are told jointly, with their correlation: where the one could be traded for the other, both intervals are wide.
// The line runs along the outward normal of the sclera where the section is thickest, averaged over the columns of the polar grid about it that are as thick. The blur is
// taken from the bare wall of the same eye, seen at a like angle to the slices. Heights in mm above the fitted outer sclera; signals in HU on CT, in the series' own
// unit on MR. Definitions: docs/measurements.md.
#include <string>
#include <variant>
#include <vector>

#include "perisclera/core/measured.h"
#include "perisclera/image/volume_geometry.h"
#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

/// Signal of a series: HU on CT; and the same times mm.
struct SignalUnit {};
struct SignalMillimetreUnit {};
using Signal = Quantity<SignalUnit>;
using SignalMm = Quantity<SignalMillimetreUnit>;

/// Where a line was laid: whole columns of the polar grid, and where the element lies on them by its shares.
struct ProfileSite {
    double clock_hour, polar;            ///< of the middle; polar in radians
    double along_meridian_mm;            ///< how wide the element is there, along the meridian
    std::vector<std::size_t> columns;    ///< clock times PolarBlock::polar_count plus polar
    double inner_mm, thickness_mm;       ///< about
};

struct ProfilePoint {
    double height_mm, signal;
};

struct WallProfile {
    double clock_hour, polar;
    int columns;                         ///< that were averaged
    std::vector<ProfilePoint> measured, fitted, layers;   ///< the last: the model without blur, each layer from its first to its last height: inside, wall, element, outside
    double blur_mm;                      ///< full width at half maximum
    Measurement<Mm> thickness;
    Measurement<Signal> value;           ///< of the element
    /// Above the mean of wall and outside, which is what blur leaves alone.
    Measurement<SignalMm> contrast_thickness;
    double correlation;                  ///< of thickness with value
    bool thinner_than_blur;
};

/// Where the element's largest section is thickest.
ProfileSite profile_site(const PolarBlock& block, const FoundElement& element, const ElementMeasurements& measured);

/// The profile at this site in any series that shares the eye's frame. `geometry`: of that series. `elements`: all of this eye, whose columns are no bare wall.
/// Unmeasured where no layers explain the line, or too little of it is imaged.
std::variant<WallProfile, Unmeasured> wall_profile(const PolarBlock& block, const VolumeGeometry& geometry, Modality modality, const ProfileSite& site,
                                                   const std::vector<const FoundElement*>& elements);

}  // namespace perisclera
