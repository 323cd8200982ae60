// SPDX-License-Identifier: Apache-2.0
#pragma once
// What was found round one eye, as lines and surfaces for drawings; not part of report.json, whose numbers say the same.
// All lengths in mm, all in the eye's own frame (EyeFrame): origin the globe's centre, x to the patient's left, y superior, z anterior.
#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "perisclera/core/clock_position.h"
#include "perisclera/core/eye.h"
#include "perisclera/report/terms.h"

namespace perisclera::report {

/// A place on the sclera laid flat round the eye's axis: its distance from the middle is 5.9 mm (the limbus) and the arc from there, its direction the clock hour.
struct MapPoint {
    double left, up;
};

/// A place in the half-plane at a clock hour: how far from the eye's axis, and how far in front of the globe's centre.
struct SectionPoint {
    double out, forward;
};

template <class Point>
using Lines = std::vector<std::vector<Point>>;   ///< closed lines; the last point joins the first

/// Triangles over corners; each triangle's corners run anticlockwise as seen from outside.
struct Mesh {
    std::vector<std::array<float, 3>> corners{};
    std::vector<std::array<std::uint32_t, 3>> triangles{};
};

/// The half-plane at one clock hour.
struct SectionShape {
    ClockPosition hour;
    std::vector<SectionPoint> sclera{};          ///< outer surface, from front to back
    struct Cut {
        std::string element_id;
        Lines<SectionPoint> edges;
    };
    std::vector<Cut> cuts{};                     ///< of the elements that reach it
};

struct ElementShape {
    std::string id{};
    Lines<MapPoint> footprint{};
    Mesh surface{};
};

struct MuscleShape {
    MuscleName muscle;
    Mesh surface{};                              ///< a tube of the measured thickness along the middle of what was found of the belly
};

struct EyeShape {
    std::string timepoint_id{};                  ///< of ReportModel::timepoints
    Eye eye;
    double limbus_polar, radius;                 ///< angle of the limbus from the axis, radians; outer radius at the equator
    Mesh globe{};                                ///< outer sclera; the cornea is not modelled
    std::vector<SectionShape> sections{};        ///< at each half hour
    std::vector<ElementShape> elements{};
    std::vector<MuscleShape> muscles{};
};

}  // namespace perisclera::report
