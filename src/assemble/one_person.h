// SPDX-License-Identifier: Apache-2.0
#pragma once
// Whether studies are of one person: the patient number says so first, birth date and sex are the second check.
#include <optional>
#include <vector>

#include "perisclera/assemble/catalogue.h"

namespace perisclera {

/// All patients of the catalogue as one person, as the user says (images of another hospital carry another number).
/// Errors: not_same_patient, when birth dates or sexes contradict each other.
Result<CataloguePatient> joined(const std::vector<CataloguePatient>& patients);

/// A warning where studies of several dates do not all state the birth date.
std::optional<Error> missing_second_check(const CataloguePatient& patient);

}  // namespace perisclera
