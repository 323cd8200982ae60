// SPDX-License-Identifier: Apache-2.0
#pragma once
// The strict reading of what an image, or a frame of one, says of itself.
#include <optional>
#include <string>
#include <vector>

#include "image_attributes.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

/// Fills a header whose layout, modality, series UID and number of frames are there. Every function returns what is wrong, or nothing.
class HeaderReader {
public:
    HeaderReader(const ImageAttributes& attributes, SliceHeader& slice) : attributes_(attributes), slice_(slice) {}

    std::optional<Error> identity();
    void acquisition();
    std::optional<Error> geometry();
    std::optional<Error> pixel_format();
    /// CT needs its own statement how stored values become HU; MR values have no unit and a missing rescale means none.
    std::optional<Error> scale();
    std::optional<Error> pixel_length();

private:
    [[nodiscard]] Error fail(ErrorCode code, std::string what) const;
    [[nodiscard]] std::vector<std::string> codes(Tag tag) const;
    [[nodiscard]] std::optional<double> positive(Tag tag) const;
    [[nodiscard]] std::optional<double> last_positive(Tag tag) const;
    [[nodiscard]] std::optional<double> diffusion_weighting() const;
    [[nodiscard]] std::optional<long> as_stored(std::optional<long> value) const;

    const ImageAttributes& attributes_;
    SliceHeader& slice_;
};

}  // namespace perisclera
