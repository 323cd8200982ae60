// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which elements there are round one globe in one series, and what share of each polar cell they fill.
//
// A scleral element gives itself away in one of six manners (signs: Lane JI et al., RadioGraphics 2003;23:983-994):
//   CT dark      gas-filled pores of a sponge, far below fat
//   CT bright    solid silicone, above any soft tissue, thin, on the wall
//   CT mass      a mass on the wall where the fellow eye has fat: what a swollen hydrogel shows, and much else
//   MR mass      the same on T1 or T2
//   T2 bright    water of a swollen hydrogel outside the wall
//   MR void      no signal where tissue should be: either silicone
// Each manner grows connected regions in the polar grid of the eye and drops what normal anatomy explains: outside air,
// sinuses, bone, lens, nerve sheath. The share of a cell is its departure from the background towards the element's
// own signal, so that a cell half filled counts half (partial volume).
#include <optional>
#include <vector>

#include "perisclera/alignment/polar_block.h"

namespace perisclera {

enum class Appearance { ct_dark, ct_bright, ct_mass, mr_mass, t2_bright, mr_void };

/// Known only by the fat it holds off, with no sign of its own.
constexpr bool is_mass(Appearance a) { return a == Appearance::ct_mass || a == Appearance::mr_mass; }

struct ElementCell {
    std::size_t index;   ///< in the PolarBlock
    float share;         ///< 0..1 of the cell filled by the element
};

/// A column of the grid that is unlike anything near it in the fellow eye.
struct SureColumn {
    std::size_t column;      ///< clock times PolarBlock::polar_count plus polar
    float displaced_mm3;     ///< fat held off beyond what the fellow eye could explain
};

/// One element in one series.
struct FoundElement {
    Appearance appearance;
    std::vector<ElementCell> cells;      ///< ordered by index
    double core_signal;                  ///< HU or MR signal where the element fills the cell
    double core_signal_uncertainty;
    double background_signal;            ///< mean of what surrounds it
    bool thinner_than_blur;              ///< its own signal is never reached; then core_signal rests on the material's expected range
    bool closed_ring;                    ///< found as a path all round the globe, whether or not each clock hour shows it
    double strength;                     ///< how far above the threshold of detection, in multiples of it
    std::vector<SureColumn> sure_columns = {};  ///< of a mass; ordered
    bool own_signs = false;              ///< found by what several series show together, or CT by itself; of a mass, not only by the fat it holds off
    std::optional<double> edge_seen{};   ///< of one whose cells are those of a BodyOutline
};

struct FinderSettings {
    Modality modality;
    bool t2_weighted = false;            ///< vitreous bright: hydrogel shows by its water
    double kvp = 120.0;
    bool voids = true;                   ///< MR: tissue without signal means silicone (not where fat is suppressed)
};

/// All elements round this globe in this series, largest first. Nothing found is an empty list. `fellow` is the other eye in
/// the same series, the atlas of what is normal in this patient, or nullptr.
std::vector<FoundElement> find_elements(const PolarBlock& block, const PolarBlock* fellow, const FinderSettings& settings);

/// The smallest band (thickness, mm; 2.5 mm wide, solid silicone) and the smallest sponge (diameter, mm) that this series
/// would have shown; nothing where no thickness up to 10 mm would.
struct SmallestShown {
    std::optional<double> band_thickness_mm, sponge_diameter_mm;
};
SmallestShown smallest_shown(const PolarBlock& block, const FinderSettings& settings);

/// Volume of the element, mm3 (shares times cell volumes).
double volume_mm3(const PolarBlock& block, const FoundElement& element);

}  // namespace perisclera
