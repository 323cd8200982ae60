// SPDX-License-Identifier: Apache-2.0
#pragma once
// Series that are no measurement of their own, whatever their sequence: localizers, projections, reformats, maps, screens.
// Source: PS3.3 C.7.6.1.1.2, C.8.2.1.1.1, C.8.3.1.1.1, C.8.13.3.1.1, C.8.15.2.1.1 (image type); names are common practice, no source.
#include <optional>
#include <string>

#include "perisclera/assemble/image_series.h"
#include "perisclera/ingest/slice_header.h"

namespace perisclera {

struct SecondaryKind {
    SeriesRole role;  ///< localizer or derived
    std::string why;
    Confidence confidence;
};

/// Nullopt for images that are what the scanner measured. A simulated series may call itself derived.
std::optional<SecondaryKind> secondary_kind(Modality modality, const AcquisitionTags& tags, bool simulated);

}  // namespace perisclera
