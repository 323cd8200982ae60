// SPDX-License-Identifier: Apache-2.0
// The bank with tiny visits and, in the place of the program, a script that counts how often it is asked.
#include "tests/bank/bank.h"

#include <gtest/gtest.h>

#include <set>
#include <thread>

#include "tests/bank/digest.h"
#include "tests/support/test_folder.h"

namespace perisclera::bank {

namespace fs = std::filesystem;
using nlohmann::json;

/// A few voxels of one eye, without elements.
const std::string scenario = R"({"seed": 1, "texture": 0, "patient": {"id": "SIM-TINY", "birth_year": 1950},
    "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 2, "slice_thickness_mm": 5, "field_mm": [20, 20, 20]}]}]})";
const std::string same_scenario = R"({"timepoints":[{"series":[{"field_mm":[20,20,20],"slice_thickness_mm":5,"spacing_mm":2,"kind":"ct"}],"study_date":"2020-01-31"}],
    "patient":{"birth_year":1950,"id":"SIM-TINY"},"texture":0,"seed":1})";
const std::string other_scenario = R"({"seed": 2, "texture": 0, "patient": {"id": "SIM-TINY", "birth_year": 1950},
    "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 2, "slice_thickness_mm": 5, "field_mm": [20, 20, 20]}]}]})";

/// A bank that holds the images of `scenario`, to be copied.
const fs::path& with_images() {
    static const test::TestFolder folder;
    static const Result<fs::path> made = Bank(folder.path(), {}).images_of(scenario);
    EXPECT_TRUE(made);
    return folder.path();
}

class BankTest : public testing::Test {
protected:
    test::TestFolder folder_;
    const fs::path root_ = folder_.path() / "cache" / "bank", program_ = folder_.path() / "program";
    const Bank bank_{root_, program_};

    /// Everything in a visit's folder, by name.
    [[nodiscard]] static std::set<std::string> names_beside(const fs::path& images) {
        std::set<std::string> names;
        for (const auto& entry : fs::directory_iterator(images.parent_path())) names.insert(entry.path().filename());
        return names;
    }
};

class ReportTest : public BankTest {
protected:
    const fs::path calls_ = folder_.path() / "calls";

    void SetUp() override {
        fs::create_directories(root_);
        fs::copy(with_images(), root_, fs::copy_options::recursive);
    }
    /// The program becomes a script of these lines, called as "identify FOLDER --out DIR …", after it has noted the call.
    void program_does(const std::string& lines) const {
        test::write_bytes(program_, "#!/bin/sh\necho call >> " + calls_.string() + "\n" + lines + "\n");
        fs::permissions(program_, fs::perms::owner_all);
    }
    void program_says(const std::string& version) const {
        program_does("test \"$1 $3\" = \"identify --out\" && test -f \"$2/truth.json\" || exit 2\n"
                     "mkdir -p \"$4/figures\" && echo page > \"$4/report.html\" && echo '{\"version\": \"" + version +
                     "\"}' > \"$4/report.json\"");
    }
    [[nodiscard]] std::size_t calls() const { return test::read_bytes(calls_).size() / std::string("call\n").size(); }
};

/// The one-block message of FIPS 180-4's example values (NIST), "abc".
TEST(Digest, is_the_published_one) { EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"); }

TEST_F(BankTest, a_visit_has_images_truth_and_scenario) {
    const fs::path images = bank_.images_of(scenario).value();
    EXPECT_TRUE(images.string().starts_with(root_.string()));
    EXPECT_EQ(json::parse(test::read_bytes(images / "scenario.json")), json::parse(scenario));
    EXPECT_TRUE(fs::is_directory(images / "20200131"));
    EXPECT_EQ(bank_.truth_of(scenario).value(), json::parse(test::read_bytes(images / "truth.json")));
    EXPECT_EQ(bank_.truth_of(scenario).value()["timepoints"][0]["study_date"], "2020-01-31");
}

TEST_F(BankTest, another_scenario_and_another_simulator_make_another_visit_spaces_and_the_order_of_keys_do_not) {
    const fs::path images = bank_.images_of(scenario).value();
    EXPECT_EQ(bank_.images_of(same_scenario).value(), images);
    EXPECT_NE(bank_.images_of(other_scenario).value(), images);
    EXPECT_NE(Bank(root_, program_, "another").images_of(scenario).value(), images);
}

TEST_F(BankTest, what_is_there_is_not_synthesised_again) {
    const fs::path images = bank_.images_of(scenario).value();
    test::write_bytes(images / "marker", "");
    EXPECT_EQ(Bank(root_, program_).images_of(scenario).value(), images);
    EXPECT_TRUE(fs::exists(images / "marker"));
}

TEST_F(BankTest, what_a_killed_run_left_is_no_visit_and_is_cleared_away) {
    const fs::path images = bank_.images_of(scenario).value();
    const auto whole = test::contents_of(images);
    fs::rename(images, images.parent_path() / ".images.partial-1-0");  // as OutputFolder names what it has not finished
    fs::create_directories(images);
    test::write_bytes(images / "half", "");  // as it never leaves it, but a copied or pruned bank may
    EXPECT_EQ(bank_.images_of(scenario).value(), images);
    EXPECT_EQ(test::contents_of(images), whole);
    EXPECT_EQ(names_beside(images), std::set<std::string>{"images"});
}

TEST_F(BankTest, a_bad_scenario_is_told_with_its_key) {
    EXPECT_EQ(bank_.images_of("{").error().code, ErrorCode::bad_scenario);
    json changed = json::parse(scenario);
    changed["colour"] = 1;
    const auto unknown = bank_.images_of(changed.dump());
    ASSERT_FALSE(unknown);
    EXPECT_EQ(unknown.error().code, ErrorCode::bad_scenario);
    EXPECT_NE(one_line(unknown.error()).find("colour"), std::string::npos) << one_line(unknown.error());
}

TEST_F(BankTest, a_root_that_cannot_be_made_is_told) {
    test::write_bytes(folder_.path() / "file", "");
    EXPECT_EQ(Bank(folder_.path() / "file", program_).images_of(scenario).error().code, ErrorCode::output_failed);
}

TEST_F(ReportTest, a_report_is_made_once_and_shared) {
    program_says("1");
    EXPECT_EQ(bank_.report_of(scenario).value()["version"], "1");
    EXPECT_EQ(Bank(root_, program_).report_of(same_scenario).value()["version"], "1");
    EXPECT_EQ(calls(), 1u);
    ASSERT_TRUE(bank_.report_of(other_scenario));  // whose images are not there yet
    EXPECT_EQ(calls(), 2u);
}

TEST_F(ReportTest, only_the_report_of_the_program_as_it_is_now_is_kept) {
    const fs::path images = bank_.images_of(scenario).value();
    program_says("1");
    ASSERT_TRUE(bank_.report_of(scenario));
    program_says("2");
    EXPECT_EQ(bank_.report_of(scenario).value()["version"], "2");
    EXPECT_EQ(calls(), 2u);
    EXPECT_EQ(names_beside(images), (std::set<std::string>{"images", "report-" + sha256(test::read_bytes(program_)) + ".json"}));
}

TEST_F(ReportTest, a_report_with_warnings_counts) {
    program_does("mkdir \"$4\" && echo '{}' > \"$4/report.json\"; exit 4");
    EXPECT_TRUE(bank_.report_of(scenario));
}

TEST_F(ReportTest, a_failing_program_is_told_with_its_error_line_and_asked_again) {
    program_does("echo 'analysing 1 of 3' >&2; echo 'error[NO_IMAGES] nothing to read: folder: give images' >&2; exit 3");
    const auto failed = bank_.report_of(scenario);
    ASSERT_FALSE(failed);
    const std::string line = one_line(failed.error());
    EXPECT_NE(line.find("status 3: error[NO_IMAGES] nothing to read: folder: give images"), std::string::npos) << line;
    EXPECT_EQ(line.find("analysing"), std::string::npos) << line;
    EXPECT_FALSE(bank_.report_of(scenario));
    EXPECT_EQ(calls(), 2u);
}

TEST_F(ReportTest, a_program_that_writes_no_report_or_is_none_is_told) {
    program_does("true");
    EXPECT_EQ(bank_.report_of(scenario).error().code, ErrorCode::cannot_read);
    program_does("mkdir \"$4\" && echo '{' > \"$4/report.json\"");
    EXPECT_EQ(bank_.report_of(scenario).error().code, ErrorCode::cannot_read);
    fs::remove(program_);
    EXPECT_EQ(bank_.report_of(scenario).error().code, ErrorCode::cannot_read);
}

TEST_F(ReportTest, a_program_rebuilt_while_it_runs_leaves_no_report) {
    program_does("mkdir -p \"$4\" && echo '{}' > \"$4/report.json\"; echo '#!/bin/sh' > \"$0.new\"; mv \"$0.new\" \"$0\"");
    EXPECT_EQ(bank_.report_of(scenario).error().code, ErrorCode::internal_fault);
    EXPECT_FALSE(bank_.report_of(scenario));  // of what it has become, which writes none
}

TEST_F(ReportTest, two_at_once_share_the_images_and_the_report_that_the_first_makes) {
    program_says("1");
    json first, second;
    std::thread one([&] { first = Bank(root_, program_).report_of(other_scenario).value(); });
    std::thread other([&] { second = Bank(root_, program_).report_of(other_scenario).value(); });
    one.join();
    other.join();
    EXPECT_EQ(first["version"], "1");
    EXPECT_EQ(second, first);
    EXPECT_EQ(calls(), 1u);
}

}  // namespace perisclera::bank
