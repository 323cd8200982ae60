// SPDX-License-Identifier: Apache-2.0
#pragma once
// What part of two dates' errors of volume is the same error twice, and so cancels where they are compared: an element's own signal mistaken, or its surface placed
// a fraction of the blur too far out, is mistaken alike on like images. Shares were settled on drawn patients (docs/measurements.md).
#include "perisclera/assemble/image_series.h"

namespace perisclera {

/// What an element was measured on, as far as its errors depend on it.
struct MeasuredOn {
    Modality modality;
    SeriesRole role;                ///< of CT it tells the kernel's class
    double pixel_mm, slice_mm;      ///< spacing in the plane, and from slice to slice
    PatientVector slice_normal;     ///< unit
};

MeasuredOn measured_on(const ImageSeries& series);

/// Same modality and role; pixels and slices within a quarter of each other, slices within 30 degrees.
bool like_images(const MeasuredOn& a, const MeasuredOn& b);

/// How the bulk of an element was told at both dates; pieces where it was added up from such at one of them.
enum class BulkTold { as_one, in_pieces, as_rod, beside_bone };

/// The correlation of both dates' relative errors of volume of an element that stays the same, 0 to less than 1: 0 across modalities, and of unlike MR.
/// Pieces have new ends and faces: no more is shared than by unlike images (assumed). A sponge's rod is told by its own noise and by what happens to lie beside it, and what bone hides
/// depends on where the slices lie: nothing is.
double shared_share(const MeasuredOn& a, const MeasuredOn& b, BulkTold told = BulkTold::as_one);

}  // namespace perisclera
