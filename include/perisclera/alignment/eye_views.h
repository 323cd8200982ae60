// SPDX-License-Identifier: Apache-2.0
#pragma once
// One eye as all series of a visit show it, each in the eye's own polar grid: the eye turns between scans and the grid
// turns with it, so equal cells are equal places on the eye. Fat and bone do not turn and need not agree.
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/alignment/polar_block.h"
#include "perisclera/anatomy/lens_status.h"
#include "perisclera/anatomy/mass_effect.h"
#include "perisclera/anatomy/recti.h"
#include "perisclera/assemble/image_series.h"
#include "perisclera/physics/mr_signal.h"

namespace perisclera {

/// What was seen within the globe, before the series' role is settled.
struct GlobeInside {
    std::optional<CavityReading> cavity{};   ///< empty where too little of it is imaged
    LensProfile lens{};
    PatientVector down{0, 1, 0};             ///< unit vector to the ground; supine where the header does not say
};

struct EyeView {
    std::size_t series;        ///< index into the visit's series
    Modality modality;
    SeriesRole role;
    double kvp;                ///< CT; 120 where the header is silent
    PolarBlock block;
    GlobeInside inside{};
    std::optional<VoxelGrid> emptied{};   ///< of a filled globe, what the block was sampled from: its surroundings as if it held vitreous
    std::array<RectusReading, 4> recti{};    ///< as all_recti
    std::optional<MrTiming> timing{};        ///< MR, of conventional sequences whose header tells it
    bool kept_apart = false;                 ///< could not be brought into the frame that the visit's other series share
};

/// Why a series shows no globe of an eye.
enum class GlobeMissing { not_found, outside_images };

/// Both eyes in one series; an eye that was not found is empty.
struct SeriesViews {
    std::array<std::optional<EyeView>, 2> eye;              ///< right, left
    std::array<std::optional<GlobeMissing>, 2> missing{};   ///< of an empty eye, where the other one tells its place
    std::optional<HeadLandmarks> head{};                    ///< what both eyes are placed against; empty without both, or where the head's symmetry does not show
    std::optional<SeriesRole> role_by_image{};              ///< of a series whose header is silent; without one it shows no eye
    std::optional<std::string> conflict{};                  ///< in words: header and images name different eyes, so neither is looked at
    std::vector<std::string> problems{};                    ///< what makes this series less fit for looking round the globes, in words
};

struct SeriesInVisit {
    const ImageSeries* series;
    std::size_t index;   ///< into the visit's series
};

/// Finds, fits and resamples both eyes of each series, one after the other as given. `viewed` is called once for each, by any thread.
std::vector<SeriesViews> view_all(const std::vector<SeriesInVisit>& all, int threads, const std::function<void()>& viewed);

/// Of one series.
SeriesViews view_series(const ImageSeries& series, std::size_t index);

}  // namespace perisclera
