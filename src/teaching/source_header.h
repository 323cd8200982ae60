// SPDX-License-Identifier: Apache-2.0
#pragma once
// The whole header of an original image, and what becomes of each of its attributes.
#include <memory>
#include <optional>
#include <string>

#include "perisclera/ingest/slice_header.h"
#include "perisclera/teaching/deidentified_image.h"

class DcmDataset;

namespace perisclera::teaching {

class SourceHeader {
public:
    /// Errors: as deidentified_image().
    static Result<SourceHeader> read(const SliceHeader& slice, bool drop_overlays);
    SourceHeader(SourceHeader&&) noexcept;
    ~SourceHeader();

    /// Of a top-level attribute, outer spaces removed; empty where absent.
    [[nodiscard]] std::string text(std::uint16_t group, std::uint16_t element) const;
    void account(AttributeFates& fates) const;

private:
    explicit SourceHeader(std::unique_ptr<DcmDataset> data);
    std::unique_ptr<DcmDataset> data_;
};

}  // namespace perisclera::teaching
