// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the wall of the eye away from its elements says of a series: how much it blurs across the wall, and how the wall itself shows.
#include <array>
#include <optional>

#include "layer_fit.h"
#include "skin_edge.h"
#include "perisclera/image/volume_geometry.h"
#include "perisclera/measurement/wall_profile.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

struct BareWall {
    Known log_blur;          ///< logarithm of the blur's standard deviation in mm
    Known wall_contrast;     ///< of the wall against the inside of the eye
    int sites;               ///< that told it; 0: it is what is usual
};

/// Mean signal of these columns at each height of the grid from `first` on, up to `last` but not beyond `turn` once the signal turns away from what lies there, as it
/// does before bone, air or fat; empty where some of it is not imaged.
std::vector<ProfilePoint> mean_line(const PolarBlock& block, const std::vector<std::size_t>& columns, int first, int turn, int last);

/// The wall's signal above the inside's as it is known before the image is seen: on CT soft tissue on vitreous; on MR anything.
Known usual_wall_contrast(const PolarBlock& block, Modality modality);

/// The logarithm of the wall's thickness in mm at an angle from the anterior axis.
Known usual_wall(double polar);

/// How much a series blurs along a direction, as a variance in mm2, by its voxels and what kernels usually do in the plane of the slices.
double usual_variance(const VolumeGeometry& geometry, Modality modality, PatientVector direction);

/// Where no element lies, fitted place by place once.
class BareWalls {
public:
    BareWalls(const PolarBlock& block, Modality modality, const std::vector<const FoundElement*>& elements);
    /// What they say of a place whose normal this is: those that make a like angle with the slices.
    [[nodiscard]] BareWall seen_along(PatientVector normal) const;
    /// Of its outer face above the fitted sclera, as far as the places that show it outweigh that fit.
    [[nodiscard]] double height_mm() const;

private:
    struct Site {
        FittedWall fitted;
        double along_slices_normal, log_blur_beyond_usual;   ///< square of the cosine
    };
    VolumeGeometry geometry_;
    Modality modality_;
    Known usual_contrast_;
    std::optional<SkinBlur> skin_;         ///< CT
    std::vector<Site> sites_;
};

}  // namespace perisclera
