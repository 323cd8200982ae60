// SPDX-License-Identifier: Apache-2.0
#pragma once
// What has to be said beside an element's material, whatever its label: one list for report.json, page, PDF and the objects that are filed.
#include <string>
#include <vector>

#include "perisclera/report/report_model.h"

namespace perisclera::report {

/// Is it the label, or a candidate of an undetermined material?
bool not_excluded(const MaterialEntry& material, Material which);

/// In the order of the enumerators. `eye`: the eye that has the element.
std::vector<MaterialCaution> material_cautions(const EyeEntry& eye, const ElementEntry& element);

std::string in_words(MaterialCaution caution, const MaterialEntry& material);

}  // namespace perisclera::report
