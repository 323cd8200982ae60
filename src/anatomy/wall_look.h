// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal's course across the globe's wall: contents, uvea (retina counts to it), sclera and surroundings, seen through the series' blur. Distances in mm along a ray
// from the globe's centre.
#include <array>
#include <vector>

#include "wall_rays.h"

namespace perisclera {

/// What all rays have in common.
struct WallLook {
    double blur_mm;         ///< standard deviation, the voxels' own left out
    double uvea, sclera;    ///< signals
    double thickness;       ///< of the wall, as a share of the usual one
};

/// With the signals of contents and surroundings at their best, what the layers leave of a ray, in units of its uncertainties, is quadratic in the signals of uvea and sclera.
struct WallMisfit {
    double whole, u, s, uu, us, ss;
    int samples;            ///< that the layers speak of
    double doubt;           ///< sum of the logarithms of their uncertainties
    [[nodiscard]] double at(double uvea, double sclera) const;
};

/// The layers as one ray sees them.
class WallCourse {
public:
    static constexpr int reach = 16;   ///< places that can be asked about, to either side of the surface
    static constexpr double usually_beyond_mm = 1.5;
    WallCourse(const WallRay& ray, const WallLook& look);
    /// With the outer face `place` steps beyond the surface. The layers speak of samples from the contents to so far beyond the outer face.
    [[nodiscard]] WallMisfit misfit(int place, double told_beyond_mm = 1.5) const;
    /// How thick a layer may be that lies on the sclera before anything else, mm: Tenon's capsule before fat, thin muscle (common practice, no source).
    static constexpr std::array layers_mm{0.5, 1.0, 1.5};
    /// With one of them there, of a signal of its own. What lies beyond it is spoken of for 1 mm.
    [[nodiscard]] WallMisfit misfit_with_layer(int place, std::size_t layer) const;

private:
    static constexpr int most_inwards = WallRay::inwards + reach, most_outwards = WallRay::outwards;
    static constexpr double told_beyond_layer_mm = 1.0;
    /// What a sample so many steps beyond the outer face holds of each layer.
    struct Layers {
        double uvea, sclera, beyond, weight, doubt;
    };
    using OfSamples = std::array<double, most_inwards + most_outwards + 1>;
    const WallRay& ray_;
    int first_ = 0, last_ = 0;   ///< nearer the centre there is nothing but contents; farther out nothing is asked for
    std::array<Layers, most_inwards + most_outwards + 1> layers_;
    std::array<OfSamples, layers_mm.size()> beyond_layer_;   ///< what each holds of what lies beyond a layer
    std::array<double, WallRay::count + 1> sum_, squares_;   ///< of the signals before each sample
    double blur_;
};

/// The look that leaves least of the rays, each at the place within 1 mm of the surface that suits it.
WallLook wall_look(const std::vector<WallRay>& rays, Modality modality);

}  // namespace perisclera
