// SPDX-License-Identifier: Apache-2.0
#pragma once
// truth.json: what the synthesised series show, exactly, from the shapes themselves. Layout in phantoms/README.md.
#include <string>
#include <vector>

#include "head_model.h"
#include "head_pose.h"

namespace perisclera::phantoms {

/// Where the eyes of one series lay.
struct SeriesTruth {
    std::string series_uid, kind, plane;
    std::array<PatientPoint, 2> centres;  ///< right, left
    std::array<PatientVector, 2> axes;
    std::array<double, 2> leans_deg;      ///< of 12 o'clock towards the patient's left: false torsion of Listing's law and the eye's own
    std::array<std::optional<double>, 2> fluid_levels{};  ///< patient y of the level of what fills part of a vitreous cavity
};

struct TimepointTruth {
    std::string study_date;
    std::vector<SeriesTruth> series;
    std::array<EyeState, 2> eyes;
};

SeriesTruth series_truth(const Series& series, const std::string& series_uid, const HeadModel& head, const HeadPose& pose);
std::string truth_json(const std::vector<TimepointTruth>& timepoints);

}  // namespace perisclera::phantoms
