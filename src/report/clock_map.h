// SPDX-License-Identifier: Apache-2.0
#pragma once
// One eye laid flat round its axis: limbus inside, arcs from it true outwards, clock hours round it.
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Who looks: an examiner facing the patient, or a surgeon at the head of the table, who has 6 o'clock on top.
enum class Viewer { examiner, surgeon };

/// `shape`: nullptr where only the measured edges are known. `hour`: where the pointer stands at first.
std::string clock_map(const EyeEntry& entry, const EyeShape* shape, Eye eye, Viewer viewer, ClockPosition hour);
/// The ids of elements that cannot be drawn, since their edges were not measured.
std::vector<std::string> not_drawn(const EyeEntry& entry, const EyeShape* shape);
const ElementShape* shape_of(const EyeShape* shape, const std::string& id);

/// The half-plane at an hour with the elements cut by it, width and thickness drawn as long as they were measured.
std::string section_drawing(const EyeEntry& entry, const EyeShape& shape, const SectionShape& section, Eye eye);

/// "4½ o'clock"; a 12 for 0.
std::string hour_in_words(ClockPosition hour);
/// The element's measured section at this half hour, or nullptr.
const Section* section_at(const ElementEntry& element, ClockPosition hour);
const Section* nearest_section(const ElementEntry& element, ClockPosition hour);

}  // namespace perisclera::report
