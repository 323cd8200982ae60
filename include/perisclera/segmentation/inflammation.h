// SPDX-License-Identifier: Apache-2.0
#pragma once
// Signs of inflammation beside the elements of an eye. On CT: gas outside them, and fat beside them that is denser than the fellow eye's at the same place. On T1 with T2: fluid
// that touches them. A wrong "seen" is worse than a sign missed: what a sponge, a lid, a sinus, metal or blur could explain is no sign.
// Looked at is what lies behind the lids within 8.5 mm of the sclera; what lies farther off, as most abscesses of the orbit's walls do, is not.
#include <optional>
#include <vector>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/segmentation/element_fusion.h"

namespace perisclera {

enum class SignReading { seen, not_seen, not_assessable };

/// Gas beside an element, darker than any foam (below -850 HU).
struct GasPocket {
    std::size_t view;                       ///< of the CT that shows it
    std::vector<std::size_t> cells;         ///< of the polar grid, ordered: below -500 HU, half way from fat to gas, and no foam
    double volume_mm3;                      ///< of these cells
    std::optional<double> from_sponge_mm;   ///< shortest way to an element as dark as a sponge, 0 where it touches; nothing: there is none
};

struct InflammationReading {
    SignReading gas_outside_element = SignReading::not_assessable;
    SignReading fat_stranding = SignReading::not_assessable;
    SignReading collection = SignReading::not_assessable;
    std::vector<GasPocket> gas{};           ///< of the first CT that shows any; empty unless gas is seen
};

/// `own` and `fellow`: the two eyes in the same series each, in the same order; nullptr where a series shows no fellow. `elements`: of this eye, EyeElement::view
/// counts in `own`; `of_fellow`: of the other eye. Without an element nothing is assessable, since there is nothing to lie beside. Where several series can tell,
/// a sign is seen only where all of them show it.
InflammationReading signs_of_inflammation(const std::vector<const EyeView*>& own, const std::vector<const EyeView*>& fellow, const std::vector<const EyeElement*>& elements,
                                          const std::vector<const EyeElement*>& of_fellow);

}  // namespace perisclera
