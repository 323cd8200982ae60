// SPDX-License-Identifier: Apache-2.0
#pragma once
// The skin of the face as the images show it: where, coming from the front, tissue begins after air. A globe's centre lies some 13 to 17 mm behind the lids (lids of
// 3 mm over a globe of 24 mm; common practice, no source), most sinuses, lobes and muscles that look round lie deeper. Patient frame, mm.
#include <optional>
#include <vector>

#include "coarse_block.h"

namespace perisclera {

class FaceSurface {
public:
    /// Keeps the block, which must outlive it.
    FaceSurface(const CoarseBlock& block, Modality modality);
    /// From the point to the skin, where this is nearest; nothing where the images hold no face, or end before the point.
    [[nodiscard]] std::optional<double> depth_of(PatientPoint point) const;
    /// What air before the face shows: noise alone, on MR. Nothing where none is imaged.
    [[nodiscard]] std::optional<double> air_signal() const { return air_; }

private:
    [[nodiscard]] bool is_imaged_before(PatientPoint point, double distance) const;
    const CoarseBlock* block_;
    std::vector<PatientPoint> skin_;
    std::optional<double> air_;
};

}  // namespace perisclera
