// SPDX-License-Identifier: Apache-2.0
// The UID under which an element is followed: one for each patient, eye and element, whatever the visit, and nothing of the patient in it.
#include <set>

#include <gtest/gtest.h>

#include "src/report/tracking.h"

namespace perisclera::report {

namespace {

Identity patient(const std::string& id, const std::string& issuer, const std::string& study, const std::string& name = "Invented^Name") {
    StudyFiling filing{.study_uid = study, .patient_name = PatientText(name), .patient_id = PatientText(id), .patient_id_issuer = PatientText(issuer), .birth_date = PatientText("19500101")};
    return {PatientText(name), PatientText(id), {filing}};
}

}  // namespace

TEST(Tracking, follows_an_element_from_study_to_study_and_through_a_change_of_name) {
    const Tracking first = tracking_of_element(patient("123", "CLINIC", "1.2.3"), Eye::right, "R1");
    EXPECT_EQ(first.uid, tracking_of_element(patient("123", "CLINIC", "1.2.4"), Eye::right, "R1").uid);
    EXPECT_EQ(first.uid, tracking_of_element(patient("123", "CLINIC", "1.2.5", "Married^Name"), Eye::right, "R1").uid);
    EXPECT_EQ(first.id, "R1");
    EXPECT_EQ(tracking_of_globe(patient("123", "CLINIC", "1.2.3"), Eye::left).id, "left globe");
}

TEST(Tracking, tells_patients_issuers_eyes_and_elements_apart) {
    std::set<std::string> uids;
    for (const Identity& one : {patient("123", "CLINIC", "1.2.3"), patient("124", "CLINIC", "1.2.3"), patient("123", "OTHER", "1.2.3"), patient("", "", "1.2.3"),
                                patient("", "", "1.2.3", "Other^Name")})
        for (const Eye eye : both_eyes) {
            uids.insert(tracking_of_element(one, eye, eye == Eye::right ? "R1" : "L1").uid);
            uids.insert(tracking_of_element(one, eye, eye == Eye::right ? "R2" : "L2").uid);
            uids.insert(tracking_of_globe(one, eye).uid);
        }
    EXPECT_EQ(uids.size(), 5u * 6u);
}

// PS3.5 9.1: at most 64 characters, digits and dots. B.2: a UUID as one decimal number below 2.25.
TEST(Tracking, is_a_uid_without_the_patients_number_in_it) {
    const std::string uid = tracking_of_element(patient("123456789", "CLINIC", "1.2.3"), Eye::right, "R1").uid;
    EXPECT_LE(uid.size(), 64u);
    EXPECT_TRUE(uid.starts_with("2.25."));
    EXPECT_EQ(uid.find_first_not_of("0123456789."), std::string::npos);
    EXPECT_EQ(uid.find("123456789"), std::string::npos);
}

}  // namespace perisclera::report
