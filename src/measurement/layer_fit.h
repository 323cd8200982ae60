// SPDX-License-Identifier: Apache-2.0
#pragma once
// The signal's course on a line across the wall as layers of one signal each (inside of the eye, wall, element, what lies outside) seen through a Gaussian blur.
// Least squares with priors for every thickness of the element in turn: a layer thinner than the blur is told by its contrast times its thickness alone, so thickness has
// no peak to expand about, and its probabilities are summed instead. As for thin bone: Treece GM et al., Med Image Anal 2010;14:276-290, doi 10.1016/j.media.2010.01.003.
// Heights in mm above the sclera, signals in the series' own unit.
#include <optional>
#include <vector>

#include "perisclera/measurement/wall_profile.h"

namespace perisclera {

/// What is known beforehand: mean and standard deviation.
struct Known {
    double mean, spread;
};

struct Layers {
    double inside, wall, element, outside;   ///< signals
    double outside_slope;                    ///< per mm beyond the element
    double wall_mm, inner_mm, thickness_mm;  ///< thickness of the wall; height of the element's inner face; its thickness
    double blur_mm;                          ///< standard deviation
};

/// The line as it was measured, and what is known of it otherwise.
struct LayerLine {
    std::vector<ProfilePoint> points;        ///< at equal steps of height
    double noise;                            ///< standard deviation of a signal, at least, > 0
    double element_share;                    ///< what the blur along the wall leaves of the element: 1 for a wide one, 0 where there is none
    Known log_blur, log_wall, wall_contrast; ///< logarithms of mm; signal of the wall above the inside's
    Known outside;                           ///< signal
    double lowest_value, highest_value;      ///< of the element's signal; beyond them it fades within a tenth of their distance
};

/// Median and 95 % interval.
struct Spread {
    double median, low, high;
};

struct FittedLayers {
    Layers layers;                           ///< at the thickness' median
    Spread thickness, value, contrast_thickness;
    double correlation;                      ///< of thickness with value, -1 to 1
    double left_over;                        ///< standard deviation of what the layers leave
    std::vector<PossibleThickness> possible; ///< as in WallProfile
    double inner_step, outer_step;           ///< of the element against the wall and against the outside, in standard uncertainties
};

/// What the layers show at a height, and what they would without blur.
double blurred_signal(const Layers& layers, double element_share, double height);
double sharp_signal(const Layers& layers, double height);

/// About an element that is roughly there. Contrast times thickness counts from the mean of the wall's signal and the outside's: what blur leaves untouched. Nothing where
/// no layers agree with the line.
std::optional<FittedLayers> fit_layers(const LayerLine& line, double inner_mm, double thickness_mm);

/// Of a line without an element: wall alone. The logarithm of its blur, the wall's contrast and the height of its outer face, with their standard uncertainties; nothing where it
/// does not fit.
struct FittedWall {
    Known log_blur, wall_contrast, outer_mm;
    double span, left_over;                  ///< of the line's signals; standard deviation of what the layers leave
};
std::optional<FittedWall> fit_wall(const LayerLine& line);

}  // namespace perisclera
