// SPDX-License-Identifier: Apache-2.0
// What stands in the register after results in any order: nothing that was entered is lost by a result that knows less (the rules in patient_register.h).
#include "perisclera/register/patient_register.h"

#include <gtest/gtest.h>

#include "tests/support/register_entries.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

class Entries : public ::testing::Test {
protected:
    Entries() : opened_(PatientRegister::open_or_make(file(), {1, 2, 3})) {}
    [[nodiscard]] std::filesystem::path file() const { return folder_.path() / "register"; }
    EntryOutcome enter(const RegisterEntry& e) { return opened_.value().enter(e).value(); }
    std::vector<RegisterRow> rows(bool with_identity = false) { return opened_.value().rows(ListOrder::patient, with_identity).value(); }
    static double volume(const RegisterRow& row) { return row.element->volume.measured()->value().value(); }

    TestFolder folder_;
    Result<PatientRegister> opened_;
};

ElementRecord compared(ElementRecord e, const std::string& verdict, double rate) {
    e.last_change = LastChange{e.measured_on, verdict, Percent(12.0)};
    e.rate = Measured<Mm3PerYear>::from_standard_uncertainty(Mm3PerYear(rate), Mm3PerYear(3.0));
    return e;
}

}  // namespace

TEST_F(Entries, all_that_was_entered_is_read_again) {
    ASSERT_EQ(enter(entry("A", "20200131", {"a"}, {compared(element("20200131", 812.345678901), "enlarged", 55.5)})), EntryOutcome::entered);
    const auto found = rows();
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].last_scan.iso(), "2020-01-31");
    const ElementRecord& e = *found[0].element;
    EXPECT_EQ(e.eye, Eye::right);
    EXPECT_EQ(e.id + " " + e.form + " " + e.material + " " + e.measured_on.iso(), "R1 segmental hydrogel 2020-01-31");
    EXPECT_EQ(e.middle->hours(), 1.0);
    EXPECT_EQ(e.probability, 0.9);
    EXPECT_EQ(volume(found[0]), 812.345678901);
    EXPECT_EQ(e.volume.measured()->low().value(), 812.345678901 - 19.6);
    EXPECT_EQ(e.rate.measured()->value().value(), 55.5);
    EXPECT_EQ(e.last_change->on.iso() + " " + e.last_change->verdict, "2020-01-31 enlarged");
    EXPECT_EQ(e.last_change->smallest_detectable->value(), 12.0);
}

TEST_F(Entries, why_something_was_not_measured_is_kept) {
    ElementRecord e = element("20200131", 500.0);
    e.volume = Unmeasured{"its ends are not shown"};
    enter(entry("A", "20200131", {"a"}, {e}));
    EXPECT_EQ(rows()[0].element->volume.unmeasured()->why, "its ends are not shown");
    EXPECT_EQ(rows()[0].element->rate.unmeasured()->why, "measured once");
}

TEST_F(Entries, the_same_result_again_changes_no_byte) {
    const RegisterEntry one = entry("A", "20200131", {"a"}, {element("20200131", 500.0)});
    enter(one);
    const std::string before = read_bytes(file());
    EXPECT_EQ(enter(one), EntryOutcome::known_already);
    EXPECT_EQ(read_bytes(file()), before);
}

TEST_F(Entries, a_result_of_fewer_dates_takes_nothing_away) {
    ElementRecord second = element("20200131", 300.0);
    second.eye = Eye::left, second.id = "L1";
    enter(entry("A", "20220331", {"a", "b"}, {compared(element("20220331", 800.0), "enlarged", 150.0), second}));
    EXPECT_EQ(enter(entry("A", "20200131", {"a"}, {element("20200131", 500.0)})), EntryOutcome::entered);
    const auto found = rows();
    ASSERT_EQ(found.size(), 2U);
    EXPECT_EQ(found[0].last_scan.iso(), "2022-03-31");
    EXPECT_EQ(volume(found[0]), 800.0);
    EXPECT_EQ(found[0].element->last_change->verdict, "enlarged");
    EXPECT_EQ(found[1].element->id, "L1");
}

TEST_F(Entries, a_later_scan_alone_brings_its_volume_and_leaves_rate_and_verdict) {
    enter(entry("A", "20220331", {"a", "b"}, {compared(element("20220331", 800.0), "enlarged", 150.0)}));
    enter(entry("A", "20240115", {"c"}, {element("20240115", 900.0)}));
    const auto found = rows();
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].last_scan.iso() + " " + found[0].element->measured_on.iso(), "2024-01-15 2024-01-15");
    EXPECT_EQ(volume(found[0]), 900.0);
    EXPECT_EQ(found[0].element->last_change->on.iso(), "2022-03-31");
    EXPECT_EQ(found[0].element->rate.measured()->value().value(), 150.0);
}

TEST_F(Entries, the_order_of_results_of_one_date_each_does_not_matter) {
    const auto early = entry("A", "20200131", {"a"}, {element("20200131", 500.0)}), late = entry("A", "20240115", {"c"}, {element("20240115", 900.0)});
    enter(late), enter(early);
    EXPECT_EQ(volume(rows()[0]), 900.0);
    RegisterEntry early_b = early, late_b = late;
    early_b.patient_id = late_b.patient_id = PatientText("B");
    enter(early_b), enter(late_b);
    for (const RegisterRow& row : rows()) EXPECT_EQ(volume(row), 900.0);
}

TEST_F(Entries, a_result_of_all_images_stands_in_place_of_what_was_there) {
    ElementRecord gone = element("20200131", 300.0);
    gone.id = "R2", gone.middle = ClockPosition(7.0);
    enter(entry("A", "20200131", {"a"}, {element("20200131", 500.0), gone}));
    ElementRecord elsewhere = element("20220331", 700.0);
    elsewhere.middle = ClockPosition(6.0);
    EXPECT_EQ(enter(entry("A", "20220331", {"a", "b"}, {elsewhere})), EntryOutcome::entered);
    ASSERT_EQ(rows().size(), 1U);
    EXPECT_EQ(rows()[0].element->middle->hours(), 6.0);
}

TEST_F(Entries, the_eye_that_was_not_looked_at_stays) {
    ElementRecord left = element("20200131", 300.0);
    left.eye = Eye::left, left.id = "L1";
    enter(entry("A", "20200131", {"a"}, {element("20200131", 500.0), left}));
    RegisterEntry right_only = entry("A", "20200131", {"a"}, {});
    right_only.result_digest = "of the right eye", right_only.eyes = {Eye::right};
    enter(right_only);
    ASSERT_EQ(rows().size(), 1U);
    EXPECT_EQ(rows()[0].element->id, "L1");
}

// Names count within one result, so R1 of another may be another element: rather none than a wrong one.
TEST_F(Entries, an_element_of_the_same_name_at_another_place_is_not_entered) {
    enter(entry("A", "20200131", {"a"}, {element("20200131", 500.0)}));
    const std::string before = read_bytes(file());
    ElementRecord elsewhere = element("20220331", 700.0), all_round = elsewhere;
    elsewhere.middle = ClockPosition(3.1);
    all_round.middle.reset();
    for (const ElementRecord& other : {elsewhere, all_round}) EXPECT_EQ(enter(entry("A", "20220331", {"b"}, {other})), EntryOutcome::place_differs);
    EXPECT_EQ(read_bytes(file()), before);
    elsewhere.middle = ClockPosition(11.5);   // an hour and a half the other way round
    EXPECT_EQ(enter(entry("A", "20220331", {"b"}, {elsewhere})), EntryOutcome::entered);
}

TEST_F(Entries, a_patient_without_an_element_has_a_line) {
    enter(entry("A", "20200131", {"a"}, {}));
    ASSERT_EQ(rows().size(), 1U);
    EXPECT_FALSE(rows()[0].element);
}

TEST_F(Entries, what_a_clinician_entered_outlives_results_and_can_be_taken_back) {
    enter(entry("A", "20200131", {"a"}, {element("20200131", 500.0)}));
    const std::string key = rows()[0].patient;
    EXPECT_TRUE(rows()[0].reviewed_by.empty() && rows()[0].reviewed_on.empty() && rows()[0].next_contact.empty()) << "something was suggested";
    EXPECT_TRUE(opened_.value().review(key, {"AB", "2020-02-01", "2021-02-01"}).value());
    enter(entry("A", "20240115", {"a", "c"}, {element("20240115", 900.0)}));
    EXPECT_EQ(rows()[0].reviewed_by + rows()[0].reviewed_on + rows()[0].next_contact, "AB2020-02-012021-02-01");
    EXPECT_TRUE(opened_.value().review(key, {.reviewed_by = {}, .reviewed_on = {}, .next_contact = ""}).value());
    EXPECT_EQ(rows()[0].reviewed_by + rows()[0].next_contact, "AB");
    EXPECT_FALSE(opened_.value().review("P0123456789abcdef", {"AB", {}, {}}).value());
}

TEST_F(Entries, keys_follow_from_issuer_and_patient_id_and_the_secret_of_the_file) {
    const auto key = [&](PatientRegister& of, const char* id, const char* issuer) { return of.key_of(PatientText(id), PatientText(issuer)); };
    auto other = PatientRegister::open_or_make(folder_.path() / "other", {9});
    EXPECT_EQ(key(opened_.value(), "12", "x"), key(opened_.value(), "12", "x"));
    EXPECT_NE(key(opened_.value(), "12", "x"), key(opened_.value(), "12", "y"));
    EXPECT_NE(key(opened_.value(), "12", "x"), key(opened_.value(), "2", "x1"));
    EXPECT_NE(key(opened_.value(), "12", "x"), key(other.value(), "12", "x"));
    EXPECT_EQ(key(opened_.value(), "12", "x"), key(opened_.value(), "12", "x"));
}

TEST_F(Entries, identity_is_in_the_file_only_once_it_was_asked_for) {
    RegisterEntry one = entry("Qzidw", "20200131", {"a"}, {element("20200131", 500.0)});
    one.patient_id_issuer = PatientText("Qzissuerw");
    enter(one);
    for (const auto& [name, bytes] : contents_of(folder_.path())) EXPECT_EQ(bytes.find("Qz"), std::string::npos) << name;
    EXPECT_TRUE(rows(true)[0].patient_id.empty() && rows(true)[0].name.empty());
    one.patient_name = PatientText("Qznamew");
    EXPECT_EQ(enter(one), EntryOutcome::known_already);
    EXPECT_EQ(rows(true)[0].patient_id, PatientText("Qzidw"));
    EXPECT_EQ(rows(true)[0].name, PatientText("Qznamew"));
    EXPECT_TRUE(rows(false)[0].patient_id.empty() && rows(false)[0].name.empty());
    one.patient_name.reset(), one.result_digest = "another";
    enter(one);
    EXPECT_EQ(rows(true)[0].name, PatientText("Qznamew"));
    EXPECT_EQ(read_bytes(file()).find("Qzissuerw"), std::string::npos);
}

}  // namespace perisclera::test
