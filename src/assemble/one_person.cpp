// SPDX-License-Identifier: Apache-2.0
#include "one_person.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <string>

namespace perisclera {

namespace {

bool contradict(const CataloguePatient& a, const CataloguePatient& b) {
    for (const CatalogueStudy& study : a.studies)
        for (const CatalogueStudy& other : b.studies)
            for (const PatientIdentity& one : study.identities)
                if (std::any_of(other.identities.begin(), other.identities.end(), [&](const PatientIdentity& two) { return one.contradicts(two); })) return true;
    return false;
}

bool confirm(const CatalogueStudy& a, const CatalogueStudy& b) {
    return std::any_of(a.identities.begin(), a.identities.end(), [&](const PatientIdentity& one) {
        return std::any_of(b.identities.begin(), b.identities.end(), [&](const PatientIdentity& two) { return one.confirmed_by(two); });
    });
}

}  // namespace

Result<CataloguePatient> joined(const std::vector<CataloguePatient>& patients) {
    CataloguePatient person = patients.front();
    std::map<StudyDate, CatalogueStudy> by_date;
    for (const CataloguePatient& patient : patients) {
        for (const CataloguePatient& other : patients)
            if (other.number < patient.number && contradict(patient, other))
                return Error{ErrorCode::not_same_patient, "patients " + std::to_string(other.number) + " and " + std::to_string(patient.number) + " state different birth dates or sexes", "inputs",
                             "choose one with --patient N, or correct the entries in the archive"};
        for (const CatalogueStudy& study : patient.studies) {
            CatalogueStudy& all = by_date.try_emplace(study.date, CatalogueStudy{study.date, {}, {}}).first->second;
            all.identities.insert(all.identities.end(), study.identities.begin(), study.identities.end());
            all.series.insert(all.series.end(), study.series.begin(), study.series.end());
        }
    }
    person.studies.clear();
    for (auto& [date, study] : by_date) {
        std::sort(study.identities.begin(), study.identities.end());
        std::stable_sort(study.series.begin(), study.series.end(), [](const CatalogueSeries& a, const CatalogueSeries& b) { return a.description.series_uid < b.description.series_uid; });
        person.studies.push_back(std::move(study));
    }
    return person;
}

std::optional<Error> missing_second_check(const CataloguePatient& patient) {
    const auto& studies = patient.studies;
    if (std::all_of(studies.begin(), studies.end(), [&](const CatalogueStudy& study) { return &study == &studies.front() || confirm(studies.front(), study); })) return std::nullopt;
    return Error{ErrorCode::one_check_only, "not all studies state the birth date, so that nothing but the patient number says that they are of one person", "inputs",
                 "make sure that all images are of this patient"};
}

}  // namespace perisclera
