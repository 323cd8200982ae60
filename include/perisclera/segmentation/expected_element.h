// SPDX-License-Identifier: Apache-2.0
#pragma once
// An element that another date of this patient shows with certainty, looked for where it lay then. The other date tells place and kind and nothing else: what counts as evidence is
// only what this date's own series show there, against the fellow eye and this patient's fat and muscle. As one place is looked at instead of a whole eye, less of it is asked for
// than where nothing is known (jointly_seen.h). Asked are CT, T1 and T2 of both eyes without fat suppression, together; silicone where there is CT is found by itself or not at all.
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

enum class ExpectedKind { hydrogel, silicone };

struct ExpectedElement {
    const FoundElement& shown;      ///< by the other date, in the frame of the same eye
    ExpectedKind kind;
    double least_water = 0.35;      ///< of a hydrogel, mass fraction
};

/// not_told: both it and normal tissue could look like this, or nothing here could show it.
enum class PlaceHolds { element, free_wall, not_told };
enum class WhyNotTold { no_series, no_fellow, too_thin, looks_like_both };

struct LookWhereExpected {
    PlaceHolds holds = PlaceHolds::not_told;
    WhyNotTold why = WhyNotTold::no_series;          ///< where it is not told
    std::optional<EyeElement> element{};             ///< where it holds one; its strength is in multiples of what would be believed without being expected
    bool whole = false;                              ///< it fills most of the place: its sizes mean something
    std::vector<std::size_t> asked{};                ///< views that were looked at together
};

/// Its place: where it was shown, allowing for the frames' turn and misfit, growth, and 4 mm of migration towards the limbus. Free only where no place like its own there could hold
/// it. `own`, `fellow`: as in jointly_seen.h; `known`: elements of the fellow eye at this date, opposite which nothing is told.
LookWhereExpected look_where_expected(const ExpectedElement& expected, const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow,
                                      const std::vector<const FoundElement*>& known = {});

}  // namespace perisclera
