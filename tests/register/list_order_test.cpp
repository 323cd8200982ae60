// SPDX-License-Identifier: Apache-2.0
// Ten thousand patients, listed in every order, against a sort of what was put in; and what another reader (Python's sqlite3) finds in the file.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "perisclera/register/patient_register.h"
#include "tests/support/child_process.h"
#include "tests/support/register_entries.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;

constexpr int patients = 10'000;

/// In memory, where there is such a folder: ten thousand entries on disk take minutes.
fs::path place_for(const TestFolder& folder) {
    static const std::string in_memory = "/dev/shm/perisclera_register_" + folder.path().filename().string();
    return fs::is_directory("/dev/shm") ? fs::path(in_memory) : folder.path() / "register";
}

class ListOrders : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        folder_ = new TestFolder;
        auto made = PatientRegister::open_or_make(place_for(*folder_), {5});
        ASSERT_TRUE(made.ok());
        for (int number = 0; number < patients; ++number) {
            const RegisterEntry entry = drawn_entry(number);
            ASSERT_EQ(made.value().enter(entry).value(), EntryOutcome::entered);
            const std::string key = made.value().key_of(entry.patient_id, entry.patient_id_issuer);
            const std::string next_contact = number % 3 == 0 ? "2031-0" + std::to_string(1 + number % 9) + "-15" : "";
            ASSERT_TRUE(next_contact.empty() || made.value().review(key, {"AB", "2030-01-01", next_contact}).value());
            expected_.push_back({key, next_contact, entry});
        }
    }
    static void TearDownTestSuite() {
        fs::remove(place_for(*folder_));
        delete folder_;
    }

    struct Expected {
        std::string key, next_contact;
        RegisterEntry entry;
    };
    static std::vector<RegisterRow> listed(ListOrder order) { return PatientRegister::open(place_for(*folder_), PatientRegister::Purpose::list).value().rows(order, false).value(); }

    /// Of what has no value, and comes last: the first is true.
    template <class T>
    using Sorted = std::tuple<bool, T, std::string>;

    /// Keys in the order in which `term` sorts; none of equal terms may stand otherwise than by key.
    template <class Term>
    static void expect_order(ListOrder order, Term term) {
        std::vector<Expected> sorted = expected_;
        std::sort(sorted.begin(), sorted.end(), [&](const Expected& a, const Expected& b) { return term(a) < term(b); });
        const std::vector<RegisterRow> rows = listed(order);
        ASSERT_EQ(rows.size(), sorted.size());
        for (std::size_t i = 0; i < rows.size(); ++i) ASSERT_EQ(rows[i].patient, sorted[i].key) << "line " << i;
    }
    template <class Q>
    static Sorted<double> from_the_largest(const Expected& e, Measurement<Q> ElementRecord::*what) {
        const auto* m = e.entry.elements.empty() ? nullptr : (e.entry.elements[0].*what).measured();
        return {m == nullptr, m ? -m->value().value() : 0.0, e.key};
    }

    static inline TestFolder* folder_;
    static inline std::vector<Expected> expected_;
};

}  // namespace

TEST_F(ListOrders, by_patient) {
    expect_order(ListOrder::patient, [](const Expected& e) { return e.key; });
}

TEST_F(ListOrders, by_last_scan) {
    expect_order(ListOrder::last_scan, [](const Expected& e) { return std::pair(e.entry.last_scan.iso(), e.key); });
}

TEST_F(ListOrders, by_rate) {
    expect_order(ListOrder::rate, [](const Expected& e) { return from_the_largest(e, &ElementRecord::rate); });
}

TEST_F(ListOrders, by_volume) {
    expect_order(ListOrder::volume, [](const Expected& e) { return from_the_largest(e, &ElementRecord::volume); });
}

TEST_F(ListOrders, by_verdict) {
    expect_order(ListOrder::verdict, [](const Expected& e) {
        const bool none = e.entry.elements.empty() || !e.entry.elements[0].last_change;
        return Sorted<std::string>{none, none ? "" : e.entry.elements[0].last_change->verdict, e.key};
    });
}

TEST_F(ListOrders, by_next_contact) {
    expect_order(ListOrder::next_contact, [](const Expected& e) { return Sorted<std::string>{e.next_contact.empty(), e.next_contact, e.key}; });
}

TEST_F(ListOrders, each_line_tells_what_was_put_in) {
    std::map<std::string, const Expected*> by_key;
    for (const Expected& e : expected_) by_key[e.key] = &e;
    ASSERT_EQ(by_key.size(), expected_.size());
    int with_element = 0;
    for (const RegisterRow& row : listed(ListOrder::rate)) {
        const Expected& e = *by_key.at(row.patient);
        EXPECT_EQ(row.simulated, e.entry.simulated);
        EXPECT_EQ(row.next_contact, e.next_contact);
        ASSERT_EQ(row.element.has_value(), !e.entry.elements.empty());
        if (!row.element) continue;
        ++with_element;
        EXPECT_EQ(row.element->id, e.entry.elements[0].id);
        ASSERT_EQ(row.element->volume.has_value(), e.entry.elements[0].volume.has_value());
        const auto *read = row.element->volume.measured(), *put_in = e.entry.elements[0].volume.measured();
        EXPECT_TRUE(read == nullptr || read->value() == put_in->value());
    }
    EXPECT_GT(with_element, patients / 2);
}

TEST_F(ListOrders, another_reader_finds_all_of_it) {
    const Ended ended = run_child({"/usr/bin/python3", "-c", "import sqlite3, sys; c = sqlite3.connect(sys.argv[1]); print(c.execute('PRAGMA integrity_check').fetchall(), c.execute('SELECT count(*) FROM patient').fetchall())",
                                   place_for(*folder_).string()});
    EXPECT_EQ(ended.output_text, "[('ok',)] [(10000,)]\n") << ended.error_text;
}

}  // namespace perisclera::test
