// SPDX-License-Identifier: Apache-2.0
#include "patients.h"

#include <algorithm>
#include <vector>

namespace perisclera {

std::map<PatientIdentity, PatientIdentity> patients_of(const std::set<PatientIdentity>& identities) {
    const auto fits = [](const PatientIdentity& a, const PatientIdentity& b) { return a.same_number(b) && !a.contradicts(b); };
    const auto fitting = [&](const PatientIdentity& one) {
        std::vector<PatientIdentity> all;
        std::copy_if(identities.begin(), identities.end(), std::back_inserter(all), [&](const PatientIdentity& other) { return fits(one, other); });
        return all;
    };
    const auto of_one_patient = [&](const std::vector<PatientIdentity>& all) {
        return std::all_of(all.begin(), all.end(), [&](const PatientIdentity& a) { return std::all_of(all.begin(), all.end(), [&](const PatientIdentity& b) { return fits(a, b); }); });
    };
    std::map<PatientIdentity, PatientIdentity> patient;
    for (const PatientIdentity& one : identities) {
        const auto all = fitting(one);
        PatientIdentity least = one;
        if (of_one_patient(all))
            for (const PatientIdentity& other : all)
                if (of_one_patient(fitting(other))) least = std::min(least, other);
        patient.emplace(one, least);
    }
    return patient;
}

}  // namespace perisclera
