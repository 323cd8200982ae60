// SPDX-License-Identifier: Apache-2.0
// Who a patient is and on which dates: what is one person, what needs a choice, and what belongs to nobody for certain.
#include <gtest/gtest.h>

#include "tests/support/patient_folder.h"

namespace perisclera {
namespace {

using test::DicomSlice;
using test::series_of;
using test::study_date;

constexpr test::TagNumber patient_name{0x0010, 0x0010}, patient_id{0x0010, 0x0020}, issuer{0x0010, 0x0021}, birth_date{0x0010, 0x0030}, patient_sex{0x0010, 0x0040};

class PatientsApart : public test::PatientFolder {
protected:
    /// Two series of one number that differ in this.
    void add_two_with(test::TagNumber tag, const char* first, const char* second) {
        DicomSlice one, other;
        one.text[tag] = first;
        other.text[tag] = second;
        other.series_uid = "1.2.9";
        add("a", series_of(4, {0, 0, 0}, {0, 0, 2}, one));
        add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, other));
    }
};

TEST_F(PatientsApart, visits_are_ordered_by_date) {
    for (const char* date : {"20180601", "20100101", "20220303"}) {
        DicomSlice slice;
        slice.series_uid = "1.2." + std::string(date);
        slice.study_uid = "1." + std::string(date);
        slice.text[study_date] = date;
        add(std::string("d") + std::to_string(30000000 - std::stoi(date)), series_of(4, {0, 0, 0}, {0, 0, 2}, slice));
    }
    const auto patient = load();
    ASSERT_TRUE(patient.ok());
    ASSERT_EQ(patient.value().visits.size(), 3U);
    EXPECT_EQ(patient.value().visits[0].date.iso(), "2010-01-01");
    EXPECT_EQ(patient.value().visits[1].date.iso(), "2018-06-01");
    EXPECT_EQ(patient.value().visits[2].date.iso(), "2022-03-03");
}

TEST_F(PatientsApart, one_study_of_two_dates_is_told) {
    DicomSlice later;
    later.series_uid = "1.2.8";
    later.text[study_date] = "20200230";  // no such day
    add("undated", series_of(4, {0, 0, 0}, {0, 0, 2}, later));
    later.series_uid = "1.2.9";
    later.text[study_date] = "20240131";
    add("first", series_of(4, {0, 0, 0}, {0, 0, 2}));
    add("later", series_of(4, {0, 0, 0}, {0, 0, 2}, later));
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    const auto& warnings = patient.value().warnings;
    EXPECT_EQ(std::count_if(warnings.begin(), warnings.end(), [](const Error& e) { return e.code == ErrorCode::conflicting_values; }), 1);
}

TEST_F(PatientsApart, two_patients_need_a_choice) {
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    DicomSlice other;
    other.series_uid = "1.2.9";
    other.text[patient_id] = "CASE2";
    add("b", series_of(5, {0, 0, 0}, {0, 0, 2}, other));
    EXPECT_EQ(code(), ErrorCode::mixed_patients);
    const auto second = load({2, 1, {}});
    ASSERT_TRUE(second.ok());
    EXPECT_EQ(second.value().patient_id, PatientText("CASE2"));
    EXPECT_EQ(second.value().visits.front().series.front().grid().geometry().size()[2], 5);
    const auto third = load({3, 1, {}});
    ASSERT_FALSE(third.ok());
    EXPECT_EQ(third.error().code, ErrorCode::usage);
}

TEST_F(PatientsApart, one_number_with_two_birth_dates_is_two_patients) {
    add_two_with(birth_date, "19500101", "19800101");
    EXPECT_EQ(code(), ErrorCode::mixed_patients);
}

TEST_F(PatientsApart, one_number_with_two_sexes_is_two_patients) {
    add_two_with(patient_sex, "M", "F");
    EXPECT_EQ(code(), ErrorCode::mixed_patients);
}

TEST_F(PatientsApart, one_number_of_two_issuers_is_two_patients) {
    add_two_with(issuer, "NORTH", "SOUTH");
    EXPECT_EQ(code(), ErrorCode::mixed_patients);
}

TEST_F(PatientsApart, what_is_not_stated_divides_no_patient_but_is_told_between_dates) {
    DicomSlice later;
    later.series_uid = "1.2.9";
    later.study_uid = "1.8";
    later.text[birth_date] = "";
    later.text[study_date] = "20240131";
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, later));
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    EXPECT_EQ(patient.value().visits.size(), 2U);
    EXPECT_TRUE(warned(patient.value(), ErrorCode::one_check_only));
}

TEST_F(PatientsApart, two_dates_with_one_birth_date_need_no_warning) {
    DicomSlice later;
    later.series_uid = "1.2.9";
    later.study_uid = "1.8";
    later.text[study_date] = "20240131";
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, later));
    const auto patient = load();
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    EXPECT_FALSE(warned(patient.value(), ErrorCode::one_check_only));
}

TEST_F(PatientsApart, without_number_and_name_only_one_study_belongs_together) {
    DicomSlice one, other;
    for (DicomSlice* slice : {&one, &other}) slice->text[patient_id] = slice->text[patient_name] = "";
    other.series_uid = "1.2.9";
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}, one));
    add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, other));
    EXPECT_TRUE(load().ok());
    other.series_uid = "1.2.10";
    other.study_uid = "1.8";
    add("c", series_of(4, {0, 0, 0}, {0, 0, 2}, other));
    EXPECT_EQ(code(), ErrorCode::mixed_patients);
}

TEST_F(PatientsApart, two_numbers_are_one_person_only_at_the_users_word) {
    DicomSlice other;
    other.series_uid = "1.2.9";
    other.study_uid = "1.8";
    other.text[patient_id] = "ELSEWHERE";
    other.text[study_date] = "20240131";
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, other));
    EXPECT_EQ(code(), ErrorCode::mixed_patients);
    LoadOptions told;
    told.same_patient = true;
    const auto person = load(told);
    ASSERT_TRUE(person.ok()) << one_line(person.error());
    EXPECT_EQ(person.value().visits.size(), 2U);
    EXPECT_TRUE(warned(person.value(), ErrorCode::joined_patients));
    told.patient = 1;
    EXPECT_EQ(load(told).error().code, ErrorCode::usage);
}

TEST_F(PatientsApart, the_users_word_does_not_outweigh_birth_dates) {
    DicomSlice other;
    other.series_uid = "1.2.9";
    other.text[patient_id] = "ELSEWHERE";
    other.text[birth_date] = "19800101";
    add("a", series_of(4, {0, 0, 0}, {0, 0, 2}));
    add("b", series_of(4, {0, 0, 0}, {0, 0, 2}, other));
    LoadOptions told;
    told.same_patient = true;
    const auto person = load(told);
    ASSERT_FALSE(person.ok());
    EXPECT_EQ(person.error().code, ErrorCode::not_same_patient);
}

TEST_F(PatientsApart, a_series_shared_by_two_patients_is_never_read) {
    auto slices = series_of(8, {0, 0, 0}, {0, 0, 2});
    for (std::size_t i = 4; i < 8; ++i) slices[i].text[patient_id] = "CASE2";
    add("a", slices);
    const auto first = load({1, 1, {}});
    ASSERT_FALSE(first.ok());
    EXPECT_EQ(first.error().code, ErrorCode::mixed_patients);
}

}  // namespace
}  // namespace perisclera
