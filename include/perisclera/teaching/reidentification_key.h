// SPDX-License-Identifier: Apache-2.0
#pragma once
// The key, which alone leads from a teaching file back to the patient's images: every original UID with its replacement, by how many days dates were moved, and the secret behind both. Given
// again for a later export of the same patient it makes the same UIDs, the same dates and the same pseudonym. It names no one, but leads to who it was where the originals are kept.
#include <string>
#include <string_view>

#include "perisclera/core/result.h"
#include "perisclera/teaching/replacements.h"

namespace perisclera::teaching {

std::string key_json(const Replacements& replacements, const PatientText& patient_id);

/// Errors: bad_value (no key of this format version, or one that contradicts itself), not_same_patient (the key was made for another patient's number, or the images state none).
Result<Replacements> parse_key(std::string_view text, const PatientText& patient_id);

}  // namespace perisclera::teaching
