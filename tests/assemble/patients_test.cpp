// SPDX-License-Identifier: Apache-2.0
// Which identities are one patient: number, issuer, birth date and sex as PS3.3 C.7.1.1 defines them.
#include <gtest/gtest.h>

#include "src/assemble/patients.h"

namespace perisclera {

namespace {

PatientIdentity person(const char* id, const char* birth_date, const char* sex, const char* issuer = "", const char* study = "1.2") { return PatientIdentity({id, issuer, "Doe", birth_date, sex, study}); }

std::size_t patients_in(const std::set<PatientIdentity>& identities) {
    std::set<PatientIdentity> patients;
    for (const auto& [one, patient] : patients_of(identities)) patients.insert(patient);
    return patients.size();
}

}  // namespace

TEST(Patients, what_is_missing_joins_the_only_patient_it_fits) {
    EXPECT_EQ(patients_in({person("7", "19500101", "F"), person("7", "", "F"), person("7", "19500101", "")}), 1U);
    EXPECT_EQ(patients_in({person("7", "19500101", "F", "NORTH"), person("7", "19500101", "F")}), 1U);
}

TEST(Patients, what_would_fit_two_patients_joins_neither) { EXPECT_EQ(patients_in({person("7", "19500101", "F"), person("7", "19600101", "F"), person("7", "", "F")}), 3U); }

TEST(Patients, contradictions_divide) {
    EXPECT_EQ(patients_in({person("7", "19500101", "F"), person("7", "19500101", "M")}), 2U);
    EXPECT_EQ(patients_in({person("7", "19500101", "F"), person("7", "19500102", "F")}), 2U);
    EXPECT_EQ(patients_in({person("7", "19500101", "F", "NORTH"), person("7", "19500101", "F", "SOUTH")}), 2U);
    EXPECT_EQ(patients_in({person("7", "19500101", "F"), person("8", "19500101", "F")}), 2U);
}

TEST(Patients, other_and_unknown_divide_nothing) {
    EXPECT_EQ(patients_in({person("7", "19500101", "O"), person("7", "19500101", "M")}), 1U);
    EXPECT_EQ(patients_in({person("7", "00000000", "F"), person("7", "19500101", "F")}), 1U);
}

TEST(Patients, a_name_stands_for_a_missing_number_and_a_study_for_both) {
    const auto named = [](const char* name, const char* study) { return PatientIdentity({"", "", name, "", "", study}); };
    EXPECT_EQ(patients_in({named("Doe", "1.2"), named("Doe", "1.3")}), 1U);
    EXPECT_EQ(patients_in({named("", "1.2"), named("", "1.3")}), 2U);
    EXPECT_EQ(patients_in({named("7", "1.2"), person("7", "", "")}), 2U) << "a name is no number";
}

TEST(Patients, only_a_birth_date_confirms) {
    EXPECT_TRUE(person("7", "19500101", "F").confirmed_by(person("8", "19500101", "")));
    EXPECT_FALSE(person("7", "", "F").confirmed_by(person("7", "", "F")));
    EXPECT_FALSE(person("7", "19500101", "F").confirmed_by(person("7", "19500101", "M")));
}

}  // namespace perisclera
