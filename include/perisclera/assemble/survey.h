// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the survey command tells of a set of files. Patients are numbered, never named, and no free text of the images is quoted.
#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "perisclera/assemble/catalogue.h"

namespace perisclera {

enum class Plane { axial, coronal, sagittal, oblique };
std::string_view name(Plane plane);

/// Oblique: more than 30 degrees from each of the three.
Plane plane_of(PatientVector slice_normal);

struct SurveySeries {
    int number = 0;                                    ///< as in messages
    std::string series_uid;
    Modality modality = Modality::ct;
    SeriesRole role = SeriesRole::unknown;
    Confidence confidence = Confidence::low;           ///< in the role
    std::string why;
    bool used = false;                                 ///< would be measured
    bool simulated = false;
    int images = 0;
    std::optional<Plane> plane;                        ///< geometry is there when the slices form a sound volume
    std::optional<std::array<double, 3>> spacing_mm;   ///< along a row, down a column, between slices
    std::optional<std::array<int, 3>> size;
    std::optional<double> kvp;
    std::vector<std::string> problems;
};

struct SurveyStudy {
    StudyDate date;
    std::vector<SurveySeries> series;
};

struct SurveyPatient {
    int number = 0;
    std::vector<SurveyStudy> studies;
};

struct Survey {
    std::vector<SurveyPatient> patients;
    std::map<std::string, int> ignored_objects;        ///< by kind in words
    int files_looked_at = 0, images = 0, not_dicom = 0, not_files = 0;
    std::vector<Error> warnings;
};

Survey survey(const PatientCatalogue& catalogue);

/// A table for a terminal, lines ended by '\n'.
std::string survey_table(const Survey& survey);

}  // namespace perisclera
