// SPDX-License-Identifier: Apache-2.0
#pragma once
// Which of the identities among the inputs are one patient.
#include <map>
#include <set>

#include "perisclera/ingest/patient_identity.h"

namespace perisclera {

/// For each identity the least identity of the same patient. Two are one patient when they share the number and nothing is against it: each may leave
/// out what the other states, but one that would fit two patients joins neither. Does not depend on any order of the inputs.
std::map<PatientIdentity, PatientIdentity> patients_of(const std::set<PatientIdentity>& identities);

}  // namespace perisclera
