// SPDX-License-Identifier: Apache-2.0
#pragma once
// What all objects have in common that are filed beside the patient's images: the same patient and study as these, a series of our own, who
// made them and when. Modules Patient, General Study, General Series, General Equipment, SOP Common (PS3.3 C.7.1.1, C.7.2.1, C.7.3.1, C.7.5.1,
// C.12.1), and content date and time.
#include <string>
#include <string_view>

#include "perisclera/core/study_filing.h"
#include "perisclera/report/moment.h"
#include "perisclera/report/report_model.h"

class DcmDataset;

namespace perisclera::report {

inline constexpr const char* manufacturer = "Perisclera";
inline constexpr const char* model_name = "Perisclera";
/// Enhanced General Equipment (PS3.3 C.7.5.2) wants one; a program has no number of its own, its version stands for it.
inline constexpr const char* device_serial_number = program_version.data();

/// The text that the UID of the program as an observer is made of (PS3.16 TID 1004).
inline constexpr const char* device_observer = "perisclera device observer";

/// The series description of the catalogue, "SIMULATED" before it where the images are.
std::string series_description(const ReportModel& model, std::string_view key);

/// One series of ours.
struct FiledSeries {
    std::string uid, modality, description;   ///< the description is of ours and at most 64 characters long
    int number;
};

struct FiledInstance {
    std::string sop_class_uid, uid;
    int number;                               ///< in its series, from 1
};

/// Replaces what the data set says of these modules. Its texts are UTF-8.
void put_common_modules(DcmDataset& data_set, const StudyFiling& study, const FiledSeries& series, const FiledInstance& instance, const Moment& now);

/// The UID of a series or an instance of this run, `what` telling it from the run's others: made of the images that were used, of version, options and moment.
std::string filed_uid(const ReportModel& model, const Moment& now, std::string_view what);

}  // namespace perisclera::report
