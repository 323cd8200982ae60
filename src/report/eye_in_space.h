// SPDX-License-Identifier: Apache-2.0
#pragma once
// What is shown of an eye in space, for the still picture and for the one that the reader turns: the same parts, looks, labels and first view.
// Places in mm in the eye's own frame.
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

struct Look {
    double lightness, opacity;
    bool ruled = false;              ///< with its equator and a line at every clock hour
};

struct PartInSpace {
    const Mesh* mesh;
    Look look;
};

struct LabelInSpace {
    std::string text;
    std::array<double, 3> place;
};

struct EyeInSpace {
    const EyeShape* shape;
    const Timepoint* visit;
    std::vector<PartInSpace> parts;      ///< what shines through the globe comes before it
    std::vector<LabelInSpace> labels;
    std::array<double, 3> towards;       ///< the viewer at first: front and side are seen, at the clock hour of the first element's largest section
    double limbus_radius, limbus_forward;   ///< of the disc in place of the cornea, which is not measured
};

inline constexpr Look cornea_look{0.95, 1.0};
inline constexpr double half_width_mm = 26.0;   ///< from the globe's centre to the border of the picture

/// Every eye with an element, at its current visit.
std::vector<EyeInSpace> eyes_in_space(const ReportModel& model);

}  // namespace perisclera::report
