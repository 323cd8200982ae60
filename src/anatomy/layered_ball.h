// SPDX-License-Identifier: Apache-2.0
#pragma once
// A ball that may be a globe in which one fluid floats on another: two even parts on either side of a plane across gravity, and one round wall about both. Patient frame, mm.
#include <functional>
#include <optional>

#include "perisclera/anatomy/cavity.h"
#include "sphere_fit.h"

namespace perisclera {

/// Two fluids and the level at which they meet.
struct LayeredFluids {
    static constexpr double level_blur_mm = 1.5;   ///< to either side of the level both share a voxel
    double above, below;    ///< median signal
    double spread;          ///< robust standard deviation in the less even one
    double alike;           ///< what differs by less is the same fluid
    bool mostly_above;
    FluidPlane level;
    /// How far a signal lies off what fluid shows at a point; near the level that may be anything between the two.
    [[nodiscard]] double departure(PatientPoint p, double signal) const;
    [[nodiscard]] double main() const { return mostly_above ? above : below; }
    /// The signal as it would be if the larger part filled all.
    [[nodiscard]] double as_one(PatientPoint p, double signal) const { return departure(p, signal) <= alike ? main() : signal; }
};

struct LayeredBall {
    Ball inside;
    double roundness;       ///< share of rays that end on it, 0..1
    LayeredFluids fluids;
};

/// How signals are read: at a point, HU (bone and air clipped) or MR; and whether it is imaged.
struct SignalSource {
    std::function<double(PatientPoint)> value;
    std::function<bool(PatientPoint)> imaged;
};
/// Clipped to what soft tissue shows.
SignalSource soft_tissue_signals(const VoxelGrid& grid, Modality modality);

/// `departure`: from how far off on a signal is no longer the same fluid's. `down`: unit vector; its sign does not matter. Nothing where there are no two parts, or no
/// round wall.
std::optional<LayeredBall> test_layered_ball(const SignalSource& signals, PatientPoint start, PatientVector down, double departure);

/// The roundest of those from several starts along gravity, for a place found by one of two fluids lies towards it; none farther away than `farthest_mm`.
std::optional<LayeredBall> roundest_layered_ball(const SignalSource& signals, PatientPoint about, PatientVector down, double departure, double farthest_mm);

}  // namespace perisclera
