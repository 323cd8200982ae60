// SPDX-License-Identifier: Apache-2.0
#pragma once
// The same element at two dates: what changed beyond what measuring twice would show.
#include <optional>

#include "perisclera/measurement/element_measurements.h"

namespace perisclera {

enum class ChangeVerdict { enlarged, unchanged, shrunk, partly_removed, not_comparable };

struct ElementChange {
    bool same_method;                              ///< measured on the same kind of series at both dates
    bool under_one_number;                         ///< both volumes fitted with one CT number (one_number.h)
    Measurement<Percent> volume;
    /// Growth of volume that two scans of an unchanged element exceed once in forty, from the uncertainty of both visits; a loss of as much is 1 - 1 / (1 + this).
    std::optional<Percent> smallest_detectable;
    Measurement<Percent> largest_area;
    Measurement<Mm> largest_thickness, anterior_margin_shift;
    ChangeVerdict verdict;                         ///< at 99 %, and never against the interval of `volume`
};

/// Ratios are weighed as logarithms, so that growing and shrinking weigh alike and no interval loses more than all.
/// `same_method`: both on CT, or both on the same MR weighting. Measurements of unlike kinds are compared with their whole
/// uncertainty and called enlarged or shrunk only beyond it.
/// `shared`: correlation of both dates' relative errors of volume, 0 to less than 1, of an element that stays the same (shared_error.h); of a changed one it counts
/// the less the more it changed. Areas and lengths are compared as if nothing were shared.
ElementChange compare_elements(const ElementMeasurements& before, const ElementMeasurements& after, bool same_method, double shared = 0.0);

/// Are two elements at two dates likely the same one? Centroids within 2 clock hours and 7 mm of arc.
bool likely_same(const ElementMeasurements& a, const ElementMeasurements& b, double radius_mm);

}  // namespace perisclera
