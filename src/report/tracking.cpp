// SPDX-License-Identifier: Apache-2.0
#include "src/report/tracking.h"

#include "perisclera/dicom/uid.h"

namespace perisclera::report {

namespace {

/// A line for each part, so that no two patients' parts run together. Without a number, name and date of birth tell patients apart.
std::string patient_key(const Identity& identity) {
    const StudyFiling none, &filing = identity.studies.empty() ? none : identity.studies.front();
    const std::string key = identity.id.reveal_for_filing() + "\n" + filing.patient_id_issuer.reveal_for_filing();
    return identity.id.empty() ? key + "\n" + identity.name.reveal_for_filing() + "\n" + filing.birth_date.reveal_for_filing() : key;
}

Tracking tracking(const Identity& identity, Eye eye, std::string id) {
    return {id, uid_from("perisclera tracking\n" + patient_key(identity) + "\n" + std::string(name(eye)) + "\n" + id)};
}

}  // namespace

Tracking tracking_of_element(const Identity& identity, Eye eye, const std::string& element_id) { return tracking(identity, eye, element_id); }

Tracking tracking_of_globe(const Identity& identity, Eye eye) { return tracking(identity, eye, std::string(name(eye)) + " globe"); }

Tracking tracking_of_muscle(const Identity& identity, Eye eye, MuscleName muscle) {
    return tracking(identity, eye, std::string(name(eye)) + " " + std::string(name(muscle)) + " rectus muscle");
}

}  // namespace perisclera::report
