// SPDX-License-Identifier: Apache-2.0
// Files that are no register, or one that cannot be used: refused with the status of the README, and not a byte of them changed. Python's sqlite3 makes what this program does not.
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include "perisclera/register/patient_register.h"
#include "tests/support/child_process.h"
#include "tests/support/register_entries.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;
using Purpose = PatientRegister::Purpose;

class RegisterFile : public ::testing::Test {
protected:
    [[nodiscard]] fs::path file() const { return folder_.path() / "register"; }
    void SetUp() override {
        auto made = PatientRegister::open_or_make(file(), {7});
        ASSERT_TRUE(made.ok());
        for (int number = 0; number < 20; ++number) ASSERT_TRUE(made.value().enter(drawn_entry(number)).ok());
    }
    /// By Python, in the file.
    void alter(const std::string& statement) const {
        const Ended ended = run_child({"/usr/bin/python3", "-c", "import sqlite3, sys; c = sqlite3.connect(sys.argv[1]); c.execute(sys.argv[2]); c.commit()", file().string(), statement});
        ASSERT_EQ(ended.status, 0) << ended.error_text;
    }
    void expect_refused(ErrorCode code) const {
        const bool regular = fs::is_regular_file(file());
        const std::string before = regular ? read_bytes(file()) : "";
        for (const auto& opened : {PatientRegister::open(file(), Purpose::list), PatientRegister::open(file(), Purpose::enter), PatientRegister::open_or_make(file(), {8})}) {
            ASSERT_FALSE(opened.ok());
            EXPECT_EQ(opened.error().code, code) << one_line(opened.error());
            EXPECT_EQ(exit_status(opened.error().code), 3);
            EXPECT_EQ(opened.error().where, "--register");
        }
        EXPECT_EQ(regular ? read_bytes(file()) : "", before);
        EXPECT_EQ(std::distance(fs::directory_iterator(folder_.path()), fs::directory_iterator()), 1) << "something was left beside it";
    }

    TestFolder folder_;
};

}  // namespace

TEST_F(RegisterFile, is_for_its_owner_alone_whatever_the_mask) {
    const mode_t before = ::umask(0);
    const auto made = PatientRegister::open_or_make(folder_.path() / "another", {7});
    ::umask(before);
    ASSERT_TRUE(made.ok());
    EXPECT_EQ(fs::status(folder_.path() / "another").permissions(), fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(RegisterFile, another_program_finds_it_whole) {
    const Ended ended = run_child({"/usr/bin/python3", "-c", "import sqlite3, sys; c = sqlite3.connect(sys.argv[1]); print(c.execute('PRAGMA integrity_check').fetchall(), c.execute('PRAGMA foreign_key_check').fetchall(), c.execute('SELECT count(*) FROM patient').fetchall())", file().string()});
    EXPECT_EQ(ended.output_text, "[('ok',)] [] [(20,)]\n") << ended.error_text;
}

TEST_F(RegisterFile, text_is_no_register) {
    write_bytes(file(), std::string(5000, 'x'));
    expect_refused(ErrorCode::bad_value);
}

TEST_F(RegisterFile, a_database_of_another_program_is_no_register) {
    fs::remove(file());
    alter("CREATE TABLE patient (key TEXT)");
    expect_refused(ErrorCode::bad_value);
}

TEST_F(RegisterFile, a_newer_version_is_refused) {
    alter("PRAGMA user_version = 2");
    expect_refused(ErrorCode::bad_value);
}

TEST_F(RegisterFile, a_table_too_few_and_a_trigger_too_many_are_refused) {
    const std::string whole = read_bytes(file());
    alter("DROP TABLE series");
    expect_refused(ErrorCode::bad_value);
    write_bytes(file(), whole);
    alter("CREATE TRIGGER planted AFTER UPDATE ON patient BEGIN DELETE FROM element; END");
    expect_refused(ErrorCode::bad_value);
}

TEST_F(RegisterFile, a_folder_is_refused) {
    fs::remove(file());
    fs::create_directory(file());
    expect_refused(ErrorCode::not_a_file);
}

TEST_F(RegisterFile, one_cut_short_anywhere_is_refused) {
    const std::string whole = read_bytes(file());
    ASSERT_GT(whole.size(), 20'000U);
    for (std::size_t left = 1; left < whole.size(); left += left < 200 ? 7 : 997) {
        SCOPED_TRACE(left);
        write_bytes(file(), whole.substr(0, left));
        expect_refused(ErrorCode::bad_value);
    }
}

TEST_F(RegisterFile, a_page_overwritten_is_refused) {
    const std::string whole = read_bytes(file());
    for (std::size_t page = 0; page < whole.size(); page += 4096) {   // SQLite's usual size
        std::string damaged = whole;
        damaged.replace(page, 4096, 4096, '\xff');
        write_bytes(file(), damaged);
        expect_refused(ErrorCode::bad_value);
    }
}

TEST_F(RegisterFile, none_is_made_where_a_list_or_a_review_was_asked_for) {
    fs::remove(file());
    for (const Purpose purpose : {Purpose::list, Purpose::enter}) EXPECT_EQ(PatientRegister::open(file(), purpose).error().code, ErrorCode::cannot_read);
    EXPECT_TRUE(fs::is_empty(folder_.path()));
}

TEST_F(RegisterFile, an_empty_file_becomes_one_since_making_it_may_have_been_stopped_there) {
    write_bytes(file(), "");
    auto made = PatientRegister::open_or_make(file(), {7});
    ASSERT_TRUE(made.ok()) << one_line(made.error());
    EXPECT_TRUE(made.value().enter(drawn_entry(1)).ok());
}

TEST_F(RegisterFile, without_rights_to_write_it_is_listed_and_nothing_entered) {
    fs::permissions(folder_.path(), fs::perms::group_read | fs::perms::group_exec, fs::perm_options::add);   // the superuser's group is kept
    fs::permissions(file(), fs::perms::owner_read | fs::perms::group_read);
    const std::string before = read_bytes(file());
    // The superuser may write everything, so for a moment the test is nobody.
    const bool superuser = ::geteuid() == 0;
    ASSERT_EQ(superuser ? ::seteuid(65534) : 0, 0);
    auto for_list = PatientRegister::open(file(), Purpose::list), for_entry = PatientRegister::open(file(), Purpose::enter);
    const auto rows = for_list.ok() ? for_list.value().rows(ListOrder::patient, false).ok() : false;
    const auto tried = for_entry.ok() ? for_entry.value().try_writing() : Result<Done>(for_entry.error());
    const auto entered = for_entry.ok() ? for_entry.value().enter(drawn_entry(99)) : Result<EntryOutcome>(for_entry.error());
    ASSERT_EQ(superuser ? ::seteuid(0) : 0, 0);
    EXPECT_TRUE(rows);
    ASSERT_FALSE(tried.ok());
    EXPECT_EQ(exit_status(tried.error().code), 5) << one_line(tried.error());
    ASSERT_FALSE(entered.ok());
    EXPECT_EQ(exit_status(entered.error().code), 5);
    EXPECT_EQ(read_bytes(file()), before);
}

TEST_F(RegisterFile, trying_whether_it_can_be_written_changes_no_byte) {
    const std::string before = read_bytes(file());
    EXPECT_TRUE(PatientRegister::open(file(), Purpose::enter).value().try_writing().ok());
    EXPECT_EQ(read_bytes(file()), before);
}

}  // namespace perisclera::test
