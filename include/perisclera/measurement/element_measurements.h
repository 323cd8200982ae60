// SPDX-License-Identifier: Apache-2.0
#pragma once
// Size and place of one element, each with its 95 % interval or the reason why there is none. Definitions (section,
// width, thickness, arcs from the limbus, clock hours) are those of docs/measurements.md.
// Uncertainty: the element's own signal, a shift of its whole surface by a fraction of the blur, the globe's radius,
// the axis, and torsion of 3 degrees, which no image of a globe of revolution shows.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/core/measured.h"
#include "perisclera/segmentation/element_finder.h"

namespace perisclera {

enum class ElementForm { encircling, segmental, radial, irregular };

struct MeasuredSection {
    double clock_hour;
    Measurement<Mm> width, thickness;
    Measurement<Mm2> area;
    Measurement<HuMm> contrast_thickness;         ///< by measured_by_layers (element_layers.h); never by shares
};

/// What the profiles of an element of one make on CT allow, by the CT number that it may have: how two dates are told under one number.
struct ThicknessByNumber {
    bool sponge;                                  ///< else solid silicone
    double kvp;
    double thickness_mm, uncertainty_mm;          ///< by this date alone, with what is known of the number beforehand; standard
    struct At {
        double hu, log_likelihood;                ///< natural logarithm, of the profiles alone
        double thickness_mm, uncertainty_mm;      ///< were that the number; standard
    };
    std::vector<At> at;                           ///< by rising number, those that are not out of the question
    double of_make = 0.0;                         ///< relative uncertainty of volume by what the make leaves open (corners, grooves), which no date changes; standard
};

struct ElementMeasurements {
    ElementForm form;
    Measurement<ClockHours> from, to, span;       ///< a full ring: 0, 0, 12
    double middle_clock_hour;                     ///< of the element's volume, for words and pictures
    Measurement<Mm> limbus_anterior, limbus_posterior, caliper_anterior, caliper_posterior;
    Measurement<Mm3> volume;
    Measurement<Mm> length, indentation, optic_nerve_distance;
    MeasuredSection largest_section;
    std::vector<MeasuredSection> sections;        ///< one at each whole half hour within the element
    int fragments;
    double middle_polar, middle_height_mm;        ///< centroid, for matching across series and dates
    std::optional<ThicknessByNumber> by_number{}; ///< where volume and thickness rest on layers
    double beside_bone = 0.0;                     ///< what bone leaves in doubt of bulk and thickness, in their uncertainties already; relative, standard
};

/// Precondition: the element was found in this block.
ElementMeasurements measure_element(const PolarBlock& block, const FoundElement& element);

/// The same without any size, each with this reason; place and clock hours stay.
ElementMeasurements without_sizes(ElementMeasurements measured, const std::string& why);

}  // namespace perisclera
