// SPDX-License-Identifier: Apache-2.0
#pragma once
// How probable it is that an eye lies so in the second series: what both frames told by themselves, where the head carries it, and what the two series tell about each
// other (mutual information) of what turns with the eye.
#include <optional>
#include <vector>

#include "head_move.h"
#include "mutual_information.h"
#include "smoothed_eye.h"
#include "steps_uphill.h"

namespace perisclera {

/// Standard, each component; radians and mm.
struct PriorSpread {
    double axis, torsion, own_shift_mm;
};

class EyeLikeness {
public:
    EyeLikeness(const EyeInSeries& first, const EyeInSeries& second, const std::optional<HeadMove>& head);
    /// Log probability of the pose against `base`, up to a constant.
    double operator()(const Pose& pose);
    /// Where the first series' frame of the eye lies in the second by this pose: turned about the base's own axes, the third being the optic axis, then shifted along them.
    [[nodiscard]] EyeFrame posed(const Pose& pose) const;
    [[nodiscard]] const PriorSpread& spread() const { return spread_; }

private:
    [[nodiscard]] double prior(const Pose& pose) const;
    void fetch(const Pose& pose);

    VoxelGrid second_;
    EyeFrame base_;
    PriorSpread spread_;
    EyeVector own_shift_;   ///< of the second series' own centre against the base
    bool head_known_;
    std::vector<EyePoint> places_;
    std::vector<float> first_values_;
    MutualInformation information_;
    std::vector<float> moved_;
    double independent_;
};

}  // namespace perisclera
