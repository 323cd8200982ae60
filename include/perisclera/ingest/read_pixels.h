// SPDX-License-Identifier: Apache-2.0
#pragma once
// Pixels of checked slices as numbers: rescaled (Hounsfield units for CT), row by row. CT pixels that the scanner marked as
// padding become -1024 HU. Compressed pixels are decoded in child processes with limits on memory and time, so that a
// decoder that crashes or never ends costs one file and one clear line.
#include <cstdint>
#include <span>
#include <vector>

#include "perisclera/core/result.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

inline constexpr float padded_hounsfield = -1024.0F;

/// What stands out among pixels.
struct PixelTally {
    std::uint64_t padded = 0;        ///< CT: marked as lying outside the reconstruction
    std::uint64_t saturated = 0;     ///< CT: at the top of what is stored, or of the customary 12 bits (3071 HU), as metal is
    std::uint64_t surplus_bits = 0;  ///< carry bits beyond those stored, which are ignored
    PixelTally& operator+=(const PixelTally& other);
};

/// One slice. Errors: cannot_read, changed_while_reading, pixels_short, decode_failed.
Result<std::vector<float>> read_pixels(const SliceHeader& slice);

/// Several slices of equal size into `out` one after another, by up to `threads` threads. The result does not depend on
/// `threads`; of several errors the first slice's is returned. Precondition: out holds exactly the pixels of all slices.
Result<PixelTally> read_stack(std::span<const SliceHeader> slices, std::span<float> out, int threads);

}  // namespace perisclera
