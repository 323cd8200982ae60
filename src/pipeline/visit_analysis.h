// SPDX-License-Identifier: Apache-2.0
#pragma once
// One visit through anatomy, alignment, segmentation, measurement and material, before it is put into words.
#include <array>
#include <vector>

#include "perisclera/alignment/eye_views.h"
#include "perisclera/anatomy/globe_contents.h"
#include "perisclera/material/element_readings.h"
#include "perisclera/measurement/ring_junction.h"
#include "perisclera/segmentation/expected_element.h"
#include "perisclera/segmentation/inflammation.h"

namespace perisclera {

struct AnalysedElement {
    EyeElement element;
    ElementMeasurements measured;
    MaterialOpinion opinion;
    std::optional<std::size_t> expected_from{};   ///< the visit whose finding told where to look; empty: recognised without it
    bool added_up = false;                     ///< from pieces (pieces_across_visits.h)
    RingJunction junction{};
    bool calcified_rim = false;                ///< CT shows it; else nothing is known of it
};

struct AnalysedEye {
    std::vector<std::size_t> views;            ///< series that show this eye, indices into AnalysedVisit::series
    GlobeMissing missing = GlobeMissing::not_found;  ///< why no series shows it
    bool whole = false;                        ///< some series holds the whole globe and its surroundings
    std::vector<AnalysedElement> elements;     ///< EyeElement::view counts within `views`
    bool unexplained_soft_mass = false;        ///< see FusedElements
    bool dark_beside_metal = false;            ///< CT shows something as dark as gas where metal throws streaks
    std::optional<std::vector<ClockPosition>> metal;  ///< where CT shows metal; empty where none can tell
    bool fellow_seen = false;                  ///< some series shows the other eye as well, and fit to tell what is usual
    bool unlike_fellow = false;                ///< no element, yet something lies there that the other eye does not have
    SmallestShown smallest;                    ///< best of all series
    ContentsOpinion contents{};
    LensOpinion lens{};
    InflammationReading inflammation{};        ///< GasPocket::view counts within `views`
};

struct AnalysedVisit {
    std::vector<SeriesViews> series;           ///< as in Visit::series
    std::array<AnalysedEye, 2> eye;            ///< right, left
    /// The views of an eye, in order of series.
    [[nodiscard]] std::vector<const EyeView*> views(std::size_t which) const;
};

/// `views`: one entry for each series of the visit, brought into one frame; `grids`: of each series. Where elements are found the globes are fitted anew to the wall away
/// from them and the visit is looked at again; the second look counts where it confirms the first (second_look.h). Without grids the first one does.
/// Work is shared out among `threads`; their number changes nothing.
AnalysedVisit analyse_visit(std::vector<SeriesViews> views, const std::vector<const VoxelGrid*>& grids = {}, int threads = 1);

/// The other eye in the series that show this one; nullptr where a series does not.
std::vector<const EyeView*> fellow_views(const AnalysedVisit& visit, std::size_t which);

/// Adds an element that was seen where visit `from` shows one of this kind. False, and nothing added, where it is likelier normal anatomy, or this visit's readings exclude
/// the kind. `whole`: it was seen in whole; else no size of it is given.
bool add_expected(AnalysedVisit& visit, std::size_t which, EyeElement element, ExpectedKind kind, std::size_t from, bool whole);

}  // namespace perisclera
