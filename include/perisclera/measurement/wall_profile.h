// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal on a line across the wall through an element, in one series, and the layers that explain it: inside of the eye, wall, element, what lies outside, each of one
// signal, seen through the series' blur. An element thinner than the blur never shows its own signal; what survives is its contrast times its thickness. Thickness and
// signal are told jointly, with their correlation: where the one could be traded for the other, both intervals are wide.
// The line runs along the outward normal of the sclera where the section is thickest, averaged over the columns of the polar grid about it that are as thick. The blur is
// taken from the bare wall of the same eye, seen at a like angle to the slices. Heights in mm above the fitted outer sclera; signals in HU on CT, in the series' own
// unit on MR. Definitions: docs/measurements.md.
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "perisclera/core/measured.h"
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

/// One thickness that the layers may have: how likely, and the value it asks for, with its standard uncertainty.
struct PossibleThickness {
    double thickness_mm, probability, value, value_uncertainty;
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
    double middle_mm;                    ///< height of the element's middle, which stays where thickness and value are traded
    bool thinner_than_blur;
    std::vector<PossibleThickness> possible;   ///< at equal ratios of thickness; probabilities sum to 1
};

/// Where the element's section at a clock hour is thickest.
ProfileSite profile_site(const PolarBlock& block, const FoundElement& element, double clock_hour);

class BareWalls;

/// Lays lines across the wall of one eye in one series.
class WallProfiler {
public:
    /// `elements`: all of this eye, whose columns are no bare wall. The block has to outlive the profiler.
    WallProfiler(const PolarBlock& block, Modality modality, const std::vector<const FoundElement*>& elements);
    /// The profile at this site, which may have been found in any series that shares the eye's frame. Unmeasured where no layers explain the line, or too little of it
    /// is imaged.
    [[nodiscard]] std::variant<WallProfile, Unmeasured> at(const ProfileSite& site) const;
    /// How far the bare wall lies above the fitted sclera, by both: mm.
    [[nodiscard]] double wall_height_mm() const;

private:
    const PolarBlock& block_;
    Modality modality_;
    std::shared_ptr<const BareWalls> walls_;
};

}  // namespace perisclera
