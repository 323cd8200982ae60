// SPDX-License-Identifier: Apache-2.0
// The errors of CT numbers that bone and metal leave all over the head (ct_hardening), in planes across the scanner wherever a series reaches. Between
// planes they are interpolated; slices' thickness and the kernel's blur are left out.
#pragma once

#include <vector>

#include "ct_hardening.h"
#include "head_map.h"
#include "scanner.h"

namespace perisclera::phantoms {

class CtArtefact {
public:
    /// The result does not depend on `threads`.
    CtArtefact(const Scan& scan, const VolumeGeometry& covered, unsigned threads);
    /// By how much the CT number reads too high here, HU.
    [[nodiscard]] double at(PatientPoint point) const;

    /// Is there anything that leaves errors?
    static bool needed(const Series& series, const HeadModel& head);

private:
    struct ErrorPlane {
        double pitch_mm;
        Image error;
        [[nodiscard]] double at(double across_mm, double down_mm) const;
    };
    struct Content {
        float water, bone, metal;
    };
    [[nodiscard]] HeadPoint head_point(double across_mm, double down_mm, double along_mm) const;
    [[nodiscard]] bool metal_in(double along_mm) const;
    [[nodiscard]] PlaneContent content(double along_mm, double pitch_mm) const;
    [[nodiscard]] ErrorPlane plane(double along_mm) const;

    const Scan& scan_;
    HeadMap map_;
    std::vector<Content> of_label_;
    bool any_metal_ = false;
    CtHardening hardening_;
    PatientPoint middle_;                  ///< of the head
    PatientVector row_, column_, normal_;  ///< of the scanner's planes
    double first_mm_, step_mm_;            ///< where the planes lie along the normal from the middle
    std::vector<ErrorPlane> planes_;
};

}  // namespace perisclera::phantoms
