// SPDX-License-Identifier: Apache-2.0
#include "scanner.h"

#include <tuple>

#include "ct_scanner.h"
#include "mr_scanner.h"

namespace perisclera::phantoms {

bool drawn_together(const Scan& a, const Scan& b) {
    const auto drawn = [](const Series& s) {
        const MrSetting& mr = s.mr;
        return std::tie(s.plane, s.tilt_deg, s.spacing_mm, s.slice_thickness_mm, s.slice_spacing_mm, s.field_mm, s.pose_deg, s.shift_mm, s.gaze_deg, mr.sequence,
                        mr.field_strength_tesla, mr.bandwidth_hz, mr.phase_along, mr.zero_filling, mr.eye_motion_mm, mr.eye_motion_cycles);
    };
    return !a.series.is_ct() && !b.series.is_ct() && a.series.mr.sequence == MrSequence::spin_echo && drawn(a.series) == drawn(b.series) &&
           a.appearance.susceptibility_ppm == b.appearance.susceptibility_ppm && a.texture == b.texture && a.texture_key == b.texture_key;
}

VoxelGrid acquire(const Scan& scan, const VolumeGeometry& geometry, unsigned threads) { return std::move(acquire_together({scan}, geometry, threads).front()); }

std::vector<VoxelGrid> acquire_together(const std::vector<Scan>& together, const VolumeGeometry& geometry, unsigned threads) {
    if (together.front().series.is_ct()) return {acquire_ct(together.front(), geometry, threads)};
    return acquire_mr(together, geometry, threads);
}

}  // namespace perisclera::phantoms
