// SPDX-License-Identifier: Apache-2.0
#pragma once
// The name under which an element or a globe is followed over dates, in every object that is filed about it (PS3.3 C.8.20.4, Tracking ID and Tracking UID;
// PS3.16 TID 1411). Equal for one element in all visits, and in every run that gives the element the same name. The UID follows from the
// patient's number and who issued it, and names neither; whoever knows both can compute it.
#include <string>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

struct Tracking {
    std::string id;     ///< "R1", "right globe"
    std::string uid;
};

Tracking tracking_of_element(const Identity& identity, Eye eye, const std::string& element_id);
Tracking tracking_of_globe(const Identity& identity, Eye eye);
Tracking tracking_of_muscle(const Identity& identity, Eye eye, MuscleName muscle);

}  // namespace perisclera::report
