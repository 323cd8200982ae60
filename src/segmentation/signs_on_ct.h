// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signs of inflammation on one CT: what inflammation.cpp joins.
#include "perisclera/segmentation/inflammation.h"
#include "polar_regions.h"

namespace perisclera {

/// Thicker slices mix what lies beside an element with the element.
inline constexpr double thickest_slices_mm = 3.2;

/// Cells of the elements that are filled to at least this share.
PolarMask cells_of(const std::vector<const FoundElement*>& elements, float least_share);

struct GasReading {
    SignReading sign = SignReading::not_assessable;
    std::vector<GasPocket> pockets{};
};
/// Gas outside the elements. `fellow`: nullptr for none; then gas is not told from air of a sinus.
GasReading gas_outside(const PolarBlock& ct, const PolarBlock* fellow, const std::vector<const FoundElement*>& elements);

/// Where the fellow has plain fat: this eye's fat near its elements (from the end of their blur to 2 mm beyond) and far from them. HU are of the quarter of the cells
/// that is most like fat, the middle of all where said so.
struct FatBeside {
    double near_mm3 = 0.0, far_mm3 = 0.0;             ///< how much there is to compare
    double near_hu = 0.0, far_hu = 0.0;               ///< this eye's
    double near_rise_hu = 0.0, far_rise_hu = 0.0;     ///< above the fellow's at the same place
    double middle_rise_hu = 0.0;                      ///< near, of the middle
    double replaced = 0.0;                            ///< share of the near cells that are plainly no fat here
};
/// Nothing where the fellow does not serve or too little is imaged.
std::optional<FatBeside> fat_beside(const PolarBlock& ct, const PolarBlock& fellow, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow);

/// Is fat beside the elements denser by 30 HU and more than the fellow's and than this eye's far from them? Of a soft kernel.
SignReading fat_stranding(const PolarBlock& ct, const PolarBlock& fellow, const std::vector<const FoundElement*>& elements, const std::vector<const FoundElement*>& of_fellow);

}  // namespace perisclera
