// SPDX-License-Identifier: Apache-2.0
#pragma once
// What a finished result tells the clinic's register of one patient. Words are those of report.json. Volumes mm³, rates mm³ a year; clock hours as an
// examiner facing the patient reads them; dates are those of the studies.
#include <optional>
#include <string>
#include <vector>

#include "perisclera/assemble/image_series.h"
#include "perisclera/core/clock_position.h"
#include "perisclera/core/eye.h"
#include "perisclera/core/measured.h"
#include "perisclera/core/patient_text.h"
#include "perisclera/core/units.h"

namespace perisclera {

/// The last comparison of an element between two dates.
struct LastChange {
    StudyDate on;                                   ///< the later date
    std::string verdict;
    std::optional<Percent> smallest_detectable;     ///< of volume, for that pair of scans
};

/// One element as its last scan shows it. It is known again by eye and id.
struct ElementRecord {
    Eye eye;
    std::string id;                                 ///< "R1"
    std::string form;
    std::optional<ClockPosition> middle;            ///< of the clock hours it spans; nothing: all round, or not measured
    StudyDate measured_on;                          ///< last scan that shows it
    Measurement<Mm3> volume;
    std::string material;                           ///< "undetermined" included
    std::optional<double> probability;              ///< of that material; nothing where undetermined
    Measurement<Mm3PerYear> rate;
    std::optional<LastChange> last_change;          ///< nothing: never compared
};

struct RegisterEntry {
    PatientText patient_id, patient_id_issuer;      ///< for the pseudonymous key; not kept
    std::optional<PatientText> patient_name;        ///< given: name and patient ID are kept as well, since the clinic asked for it
    bool simulated = false;
    std::string result_digest;                      ///< by which the same result is known again
    std::vector<std::string> series_digests;        ///< of the images it was made from
    StudyDate last_scan;
    std::vector<Eye> eyes;                          ///< that were asked for
    std::vector<ElementRecord> elements;
};

}  // namespace perisclera
