// SPDX-License-Identifier: Apache-2.0
// The clinic's register by the built program: findings go in after the report, are listed and reviewed; each refusal has its status (the table in the README) and one line, and changes nothing.
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <functional>
#include <memory>
#include <random>
#include <regex>
#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "tests/support/child_process.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

Ended perisclera(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), PERISCLERA_PROGRAM);
    return run_child(arguments);
}

/// One run of the program, shared: its register is copied by each test that changes it.
class Register : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        shared_ = std::make_unique<TestFolder>();
        entered_ = perisclera({"identify", small_phantom().string(), "--out", (shared_->path() / "out").string(), "--quiet", "--register", (shared_->path() / "register").string()});
    }
    static void TearDownTestSuite() { shared_.reset(); }
    void SetUp() override { fs::copy_file(shared_->path() / "register", file()); }

    [[nodiscard]] fs::path file() const { return folder_.path() / "register"; }
    [[nodiscard]] Ended track(std::vector<std::string> more = {}) const {
        std::vector<std::string> arguments{"track", "--register", file().string()};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return perisclera(arguments);
    }
    [[nodiscard]] Json row() const { return Json::parse(track({"--json"}).output_text)["rows"][0]; }
    [[nodiscard]] std::string key() const { return row()["patient"]; }
    void expect_refused(const std::vector<std::string>& more, int status, const std::string& code) const {
        const auto before = contents_of(folder_.path());
        const Ended ended = track(more);
        static const std::regex form(R"(error\[[A-Z_]+\] [^:\n]+: [^:\n]+: [^\n]+\n)");
        EXPECT_EQ(ended.status, status) << ended.error_text;
        EXPECT_TRUE(std::regex_match(ended.error_text, form)) << ended.error_text;
        EXPECT_TRUE(ended.error_text.starts_with("error[" + code + "]")) << ended.error_text;
        EXPECT_EQ(ended.output_text, "");
        EXPECT_EQ(contents_of(folder_.path()), before);
    }

    static inline std::unique_ptr<TestFolder> shared_;
    static inline Ended entered_;
    TestFolder folder_;
};

}  // namespace

TEST_F(Register, findings_go_in_and_stand_there_as_in_the_report) {
    EXPECT_EQ(entered_.status, 0) << entered_.error_text;
    EXPECT_NE(entered_.output_text.find("Entered in the register as patient " + key()), std::string::npos);
    const Json report = Json::parse(read_bytes(shared_->path() / "out" / "report.json")), element = report["timepoints"][0]["eyes"]["right"]["elements"][0], listed = row();
    EXPECT_EQ(listed["element"]["id"], element["id"]);
    EXPECT_EQ(listed["element"]["volume_mm3"], element["volume_mm3"]);
    EXPECT_EQ(listed["element"]["material"]["label"], element["material"]["label"]);
    EXPECT_EQ(listed["element"]["material"]["probability"], element["material"]["probabilities"][element["material"]["label"].get<std::string>()]);
    EXPECT_EQ(listed["last_scan"], report["timepoints"][0]["study_date"]);
    EXPECT_TRUE(listed["element"]["last_change"].is_null());
    EXPECT_EQ(listed["simulated"], true);
    EXPECT_TRUE(listed["reviewed_by"].is_null() && listed["reviewed_on"].is_null() && listed["next_contact"].is_null());
    EXPECT_EQ(fs::status(shared_->path() / "register").permissions(), fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(Register, the_report_is_the_same_without_it_and_the_same_result_again_changes_no_byte) {
    const std::string before = read_bytes(file());
    for (const std::vector<std::string>& more : {std::vector<std::string>{}, std::vector<std::string>{"--register", file().string()}}) {
        std::vector<std::string> arguments{"identify", small_phantom().string(), "--out", (folder_.path() / "out").string(), "--quiet", "--force"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        EXPECT_EQ(perisclera(arguments).status, 0);
        EXPECT_EQ(read_bytes(folder_.path() / "out" / "report.json"), read_bytes(shared_->path() / "out" / "report.json"));
    }
    EXPECT_EQ(read_bytes(file()), before);
}

TEST_F(Register, a_review_is_what_a_clinician_typed_and_can_be_taken_back) {
    const Ended ended = track({"--patient-key", key(), "--reviewed-by", "Dr. A. B., retina", "--reviewed-on", "2024-02-29", "--next-contact", "2025-01-31"});
    EXPECT_EQ(ended.status, 0) << ended.error_text;
    EXPECT_EQ(row()["reviewed_by"], "Dr. A. B., retina");
    EXPECT_EQ(row()["reviewed_on"], "2024-02-29");
    EXPECT_EQ(row()["next_contact"], "2025-01-31");
    EXPECT_EQ(track({"--patient-key", key(), "--next-contact", "none"}).status, 0);
    EXPECT_TRUE(row()["next_contact"].is_null());
    EXPECT_EQ(row()["reviewed_on"], "2024-02-29");
}

TEST_F(Register, the_list_goes_into_a_file_for_its_owner_alone) {
    const fs::path csv = folder_.path() / "list.csv";
    const Ended ended = track({"--csv", csv.string(), "--sort", "volume"});
    EXPECT_EQ(ended.status, 0) << ended.error_text;
    EXPECT_NE(read_bytes(csv).find(key()), std::string::npos);
    EXPECT_EQ(fs::status(csv).permissions(), fs::perms::owner_read | fs::perms::owner_write);
    expect_refused({"--csv", csv.string()}, 2, "OUTPUT_NOT_EMPTY");
    EXPECT_EQ(track({"--csv", csv.string(), "--force"}).status, 0);
    expect_refused({"--csv", file().string(), "--force"}, 2, "USAGE");
    expect_refused({"--csv", (folder_.path() / "nowhere" / "list.csv").string()}, 5, "OUTPUT_FAILED");
}

TEST_F(Register, wrong_usage_is_refused) {
    const std::string patient = key();
    for (const std::vector<std::string>& wrong : std::vector<std::vector<std::string>>{{"--sort", "age"}, {"--out", "x"}, {"--eye", "left"}, {"--findings", "x"}, {"--reviewed-by", "AB"}, {"--patient-key", patient},
             {"--patient-key", patient, "--sort", "rate", "--reviewed-by", "AB"}, {"--patient-key", "P0123456789abcdef", "--reviewed-by", "AB"},
             {"--patient-key", patient, "--reviewed-on", "2023-02-29"}, {"--patient-key", patient, "--next-contact", "soon"}, {"--patient-key", patient, "--next-contact", "20240101"},
             {"--patient-key", patient, "--reviewed-by", std::string(81, 'x')}, {"--patient-key", patient, "--reviewed-by", "a\nb"}, {"--patient-key", patient, "--reviewed-by", "\xff"},
             {small_phantom().string()}, {small_phantom().string(), "--out", (folder_.path() / "out").string(), "--csv", "x"}})
        expect_refused(wrong, 2, "USAGE");
}

TEST_F(Register, an_unusable_one_is_refused_before_the_work_and_left_as_it_is) {
    const auto expect_both_refused = [&](int status, const std::string& code) {
        expect_refused({}, status, code);
        expect_refused({small_phantom().string(), "--out", (folder_.path() / "out").string()}, status, code);
    };
    const std::string whole = read_bytes(file());
    write_bytes(file(), whole.substr(0, whole.size() - 1));
    expect_both_refused(3, "BAD_VALUE");
    write_bytes(file(), "no register");
    expect_both_refused(3, "BAD_VALUE");
    fs::remove(file());
    expect_refused({}, 3, "CANNOT_READ");
    fs::create_directory(file());
    expect_both_refused(3, "NOT_A_FILE");
}

TEST_F(Register, a_place_that_cannot_take_it_is_refused_before_the_work) {
    const auto identify_with = [&](const fs::path& place) { return perisclera({"identify", small_phantom().string(), "--out", (folder_.path() / "out").string(), "--quiet", "--force", "--register", place.string()}); };
    fs::create_directory(folder_.path() / "out");
    EXPECT_EQ(identify_with(folder_.path() / "nowhere" / "register").status, 5);
    EXPECT_EQ(identify_with(folder_.path() / "out" / "register").status, 2);
    EXPECT_EQ(identify_with(small_phantom() / "register").status, 2);
    EXPECT_TRUE(fs::is_empty(folder_.path() / "out"));
    EXPECT_FALSE(fs::exists(small_phantom() / "register"));
}

// A link that leads nowhere looks like a register to be made, and turns out not to be one when it is made.
TEST_F(Register, one_that_fails_after_the_work_leaves_the_report_whole) {
    fs::create_symlink("nowhere/register", folder_.path() / "link");
    const Ended ended = perisclera({"identify", small_phantom().string(), "--out", (folder_.path() / "out").string(), "--quiet", "--register", (folder_.path() / "link").string()});
    EXPECT_EQ(ended.status, 5) << ended.error_text;
    EXPECT_TRUE(ended.error_text.starts_with("error[OUTPUT_FAILED]")) << ended.error_text;
    EXPECT_EQ(read_bytes(folder_.path() / "out" / "report.json"), read_bytes(shared_->path() / "out" / "report.json"));
    EXPECT_EQ(ended.output_text.find("Entered in the register"), std::string::npos);
}

// Each killed once it was started and acknowledged or not; what was acknowledged is there.
TEST_F(Register, a_review_that_was_acknowledged_outlives_the_kill_of_the_program) {
    const std::string patient = key();
    std::mt19937 drawn(9);
    int acknowledged = 0;
    std::string last;
    for (int k = 0; k < 20; ++k) {
        const std::string by = "review " + std::to_string(k), told = (folder_.path() / "told").string();
        const pid_t child = ::fork();
        if (child == 0) {
            ::dup2(::open(told.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDOUT_FILENO);
            ::execl(PERISCLERA_PROGRAM, PERISCLERA_PROGRAM, "track", "--register", file().c_str(), "--patient-key", patient.c_str(), "--reviewed-by", by.c_str(), nullptr);
            ::_exit(127);
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(drawn() % 400));
        ::kill(child, SIGKILL);
        int how = 0;
        ::waitpid(child, &how, 0);
        const std::string now = row()["reviewed_by"].is_null() ? "" : row()["reviewed_by"].get<std::string>();
        if (read_bytes(told).ends_with('\n')) {
            ++acknowledged;
            EXPECT_EQ(now, by);
        } else {
            EXPECT_TRUE(now == by || now == last) << now;
        }
        last = now;
    }
    EXPECT_GT(acknowledged, 0);
}

}  // namespace perisclera::test
