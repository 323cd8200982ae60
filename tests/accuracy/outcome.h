// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the program said of one synthesised patient, held against the truth that the simulation wrote.
#include <map>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "drawn_patient.h"

namespace perisclera::accuracy {

/// A measured quantity against its true value.
struct Compared {
    double measured, truth;
    bool interval_holds;
    [[nodiscard]] double error() const { return measured - truth; }
    [[nodiscard]] double percent() const { return 100.0 * (measured / truth - 1.0); }
};

struct Outcome {
    DrawnPatient patient;
    std::string side;                       ///< of the operated eye; empty where none
    std::string presence;                   ///< said of the operated eye
    bool found = false;                     ///< an element in the operated eye, at the right place
    int false_elements = 0;                 ///< elements anywhere else
    std::string fellow_presence;            ///< said of the other eye (of both where none is operated: the worse)
    std::string label;                      ///< "right", "undetermined", "wrong", empty where not found
    std::string said;                       ///< the label or the candidates
    double true_thickness_mm = 0.0;
    std::map<std::string, Compared> quantities;   ///< "volume", "thickness", "width", "area", "from", "to", "anterior", "posterior"
    std::vector<double> globe_errors_mm;    ///< distance of each globe's centre from the truth, in the series named
};

/// `report`: report.json, whose numbers are rounded (lengths and hours 0.01, volumes 0.1); `truth`: truth.json.
Outcome compare(const DrawnPatient& patient, const nlohmann::json& report, const nlohmann::json& truth);

}  // namespace perisclera::accuracy
