// SPDX-License-Identifier: Apache-2.0
#pragma once
// Regions of the polar grid that look like an element in one of the six appearances and that normal anatomy does not
// explain. Thresholds are facts of contrast, stated beside each; shares and volumes come later.
#include "perisclera/segmentation/element_finder.h"
#include "polar_regions.h"

namespace perisclera {

struct Candidate {
    std::vector<std::size_t> cells;   ///< ordered
    double strength;                  ///< departure over the threshold of detection
    bool closed_ring;                 ///< found as a path all round the globe
    std::vector<SureColumn> sure_columns = {};  ///< of displaced fat: see FoundElement
};

std::vector<Candidate> ct_dark_regions(const PolarBlock& block);
/// `fellow`: the other eye in the same series, or nullptr.
std::vector<Candidate> ct_bright_regions(const PolarBlock& block, const PolarBlock* fellow, double kvp);
std::vector<Candidate> t2_bright_regions(const PolarBlock& block, const PolarBlock* fellow);
/// Masses on the wall that hold off the fat which lies there in the fellow eye; none without a fellow, or where fat cannot
/// be told from muscle. `strength` counts the fat displaced in units of what is believed without another series.
std::vector<Candidate> displaced_fat_regions(const PolarBlock& block, const PolarBlock* fellow, const FinderSettings& settings);
/// Share of the columns round the equator on which fat begins near the wall: where it does not, nothing could be seen to be displaced.
double share_with_fat(const PolarBlock& block, const FinderSettings& settings);
inline constexpr double displaced_alone_mm3 = 300.0;
/// Explants straddle the equator: arc from the limbus behind which the middle of none lies.
inline constexpr double hindmost_middle_mm = 16.0;
/// `masses`: what displaced_fat_regions found in this series.
std::vector<Candidate> mr_void_regions(const PolarBlock& block, const std::vector<Candidate>& masses);

/// How far each cell stands above what is as wide as `window` cells along the meridian at its clock position and height
/// (grey-scale top hat: Serra J, Image Analysis and Mathematical Morphology, 1982). Recti run along meridians and vanish;
/// a band across them stays.
std::vector<float> meridional_top_hat(const std::vector<float>& values, int window);

}  // namespace perisclera
