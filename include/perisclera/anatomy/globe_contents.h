// SPDX-License-Identifier: Apache-2.0
#pragma once
// What fills a globe: from what its cavity shows in every series of one visit. Each series says what the fluid, or each of two layers, may be: CT by number
// and tube voltage, MR by signal against this patient's own orbit and against the fellow eye, both by what floats and what sinks. What all series
// allow is left; where that is more than one fluid, nothing is named, and where it is none the series contradict each other.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/anatomy/cavity.h"
#include "perisclera/assemble/image_series.h"
#include "perisclera/physics/intraocular_fluids.h"

namespace perisclera {

/// How one series shows one eye.
struct CavityView {
    CavityReading cavity;
    Modality modality;
    SeriesRole role;
    double kvp;                            ///< CT
    double orbit, muscle;                  ///< MR: the brightest and the darker tissue round the back of the globe; 0 where not imaged
    double outer_radius_mm;                ///< of the globe
    double chamber_mm;                     ///< CT: watery_chamber_mm
    std::optional<double> fellow;          ///< signal of the other eye, where that is even
};

struct NamedLevel {
    FluidSet above, below;                 ///< what either part may be
    Measured<Fraction> share_above;        ///< of the cavity's volume
    Measured<Mm> height;                   ///< above the cavity's lowest point
};

struct ContentsOpinion {
    enum class Label { vitreous, silicone_oil, gas, haemorrhage, mixed, undetermined };
    Label label = Label::undetermined;
    std::optional<NamedLevel> level{};
    std::string why{};                     ///< what was seen, or why nothing is named, in words
};

/// Do signals of this kind of series tell fluids apart?
bool tells_of_fluids(const CavityView& view);

/// What a part of the cavity with this signal may be, by this series alone.
FluidSet possible_fluids(const CavityView& view, double signal);

/// Takes away what cannot lie as it does: light fluids float on heavy ones.
void sort_by_gravity(FluidSet& above, FluidSet& below);

/// `views`: every series of the visit that shows this eye; may be empty.
ContentsOpinion judge_contents(const std::vector<CavityView>& views);

}  // namespace perisclera
