// SPDX-License-Identifier: Apache-2.0
#pragma once
// How much better hydrogel explains one place of an eye, on several series together, than what is normal there: this patient's fat, muscle and air and their mixtures, and
// what the fellow eye shows near the same place of eye and head.
#include "joint_channels.h"
#include "polar_regions.h"

namespace perisclera {

/// Looks at one cell on all series. Refers to `channels` and `fellow`.
class HydrogelLook {
public:
    /// `watery`: only what T2 shows to be fluid and T1 not to be fat; `least_water`: of the hydrogels looked for.
    HydrogelLook(const std::vector<JointChannel>& channels, const FellowPlaces& fellow, bool watery, double least_water);

    /// Natural logarithm of the likelihoods' ratio; nothing to say is 0.
    [[nodiscard]] double evidence(std::size_t i) const;
    /// Sum of squares over the series, in units of the doubt.
    [[nodiscard]] double apart(std::size_t i, const JointSignals& from) const;
    /// Could it be hydrogel, whatever else it may be?
    [[nodiscard]] bool may_be_hydrogel(std::size_t i) const;

private:
    [[nodiscard]] bool is_even(std::size_t i) const;
    [[nodiscard]] double from_hydrogel(std::size_t i) const;
    [[nodiscard]] double from_normal(std::size_t i, double enough) const;

    const std::vector<JointChannel>& channels_;
    const FellowPlaces& fellow_;
    bool watery_;
    double least_water_;
    std::vector<std::vector<float>> doubt_;   ///< standard uncertainty of each channel's value as the signal of its place
    std::vector<JointSignals> mixtures_;
};

/// The median over the region on each series.
JointSignals usual_signals(const std::vector<JointChannel>& channels, const std::vector<std::size_t>& region);

/// A region whose cells show hydrogel was kept clear of every edge; given back as far as cells are nearer to what it shows than to muscle and fat. Ordered.
std::vector<std::size_t> grown_to_edges(const std::vector<JointChannel>& channels, const HydrogelLook& look, const std::vector<std::size_t>& region);

}  // namespace perisclera
