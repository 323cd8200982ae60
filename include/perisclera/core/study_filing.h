// SPDX-License-Identifier: Apache-2.0
#pragma once
// Under what an archive files a study: attributes of the Patient and General Study modules (PS3.3 C.7.1.1, C.7.2.1), copied from the source
// images into the objects that are filed beside them, and nowhere else. Texts are UTF-8, empty where the images do not state them.
#include <string>

#include "perisclera/core/patient_text.h"

namespace perisclera {

struct StudyFiling {
    std::string study_uid{};
    PatientText patient_name{}, patient_id{}, patient_id_issuer{}, birth_date{}, sex{};
    PatientText study_date{}, study_time{}, study_id{}, accession_number{}, referring_physician{}, study_description{};
    bool operator==(const StudyFiling&) const = default;
};

}  // namespace perisclera
