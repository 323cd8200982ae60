// SPDX-License-Identifier: Apache-2.0
// Expected behaviour: the README's exit status list (5: output could not be written, the folder left as it was) and POSIX
// rename(2), setrlimit(2).
#include "perisclera/dicom/output_folder.h"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>
#include <fstream>
#include <set>
#include <sstream>
#include <string>

#include "perisclera/dicom/atomic_file.h"

namespace perisclera {
namespace {

namespace fs = std::filesystem;

class OutputFolderTest : public ::testing::Test {
protected:
    void SetUp() override {
        const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
        root_ = fs::temp_directory_path() / ("perisclera-output-" + std::string(info->name()) + "-" + std::to_string(::getpid()));
        fs::remove_all(root_);
        fs::create_directories(root_);
    }
    void TearDown() override {
        fs::permissions(root_, fs::perms::owner_all);
        fs::remove_all(root_);
    }
    static void put(const fs::path& path, const std::string& text) { std::ofstream(path) << text; }
    static std::string get(const fs::path& path) {
        std::ostringstream text;
        text << std::ifstream(path).rdbuf();
        return text.str();
    }
    /// Every path below the root, relative to it.
    [[nodiscard]] std::set<std::string> tree() const {
        std::set<std::string> all;
        for (const auto& e : fs::recursive_directory_iterator(root_)) all.insert(fs::relative(e.path(), root_).string());
        return all;
    }
    fs::path root_;
};

/// Files larger than `bytes` cannot be written while this lives: stands for a full disk.
class SmallFilesOnly {
public:
    explicit SmallFilesOnly(rlim_t bytes) {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        rlimit now = before_;
        now.rlim_cur = bytes;
        ::setrlimit(RLIMIT_FSIZE, &now);
        handler_ = std::signal(SIGXFSZ, SIG_IGN);
    }
    ~SmallFilesOnly() {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, handler_);
    }

private:
    rlimit before_{};
    void (*handler_)(int) = nullptr;
};

TEST_F(OutputFolderTest, nothing_shows_before_commit_and_everything_after) {
    const fs::path out = root_ / "out";
    auto folder = OutputFolder::open(out, false);
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder.value().write("report.json", "{}"));
    ASSERT_TRUE(folder.value().write("figures/one.png", "picture"));
    EXPECT_FALSE(fs::exists(out));
    ASSERT_TRUE(folder.value().commit());
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/report.json", "out/figures", "out/figures/one.png"}));
    EXPECT_EQ(get(out / "figures/one.png"), "picture");
}

TEST_F(OutputFolderTest, an_abandoned_output_leaves_no_trace_even_of_parent_folders) {
    {
        auto folder = OutputFolder::open(root_ / "a/b/out/", false);
        ASSERT_TRUE(folder);
        ASSERT_TRUE(folder.value().write("report.json", "{}"));
    }
    EXPECT_TRUE(tree().empty());
}

TEST_F(OutputFolderTest, parent_folders_are_made_and_stay_after_commit) {
    {
        auto folder = OutputFolder::open(root_ / "a/b/out", false);
        ASSERT_TRUE(folder);
        ASSERT_TRUE(folder.value().write("report.json", "{}"));
        ASSERT_TRUE(folder.value().commit());
    }
    EXPECT_TRUE(fs::exists(root_ / "a/b/out/report.json"));
}

TEST_F(OutputFolderTest, an_empty_folder_is_filled) {
    fs::create_directory(root_ / "out");
    auto folder = OutputFolder::open(root_ / "out", false);
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder.value().write("report.json", "{}"));
    ASSERT_TRUE(folder.value().commit());
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/report.json"}));
}

TEST_F(OutputFolderTest, a_folder_with_content_is_refused_with_status_2_and_untouched) {
    fs::create_directory(root_ / "out");
    put(root_ / "out/mine.txt", "keep");
    const auto folder = OutputFolder::open(root_ / "out", false);
    ASSERT_FALSE(folder);
    EXPECT_EQ(folder.error().code, ErrorCode::output_not_empty);
    EXPECT_EQ(exit_status(folder.error().code), 2);
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/mine.txt"}));
}

TEST_F(OutputFolderTest, force_replaces_by_name_and_keeps_the_rest) {
    fs::create_directories(root_ / "out/figures");
    put(root_ / "out/mine.txt", "keep");
    put(root_ / "out/report.json", "old");
    put(root_ / "out/figures/old.png", "old");
    auto folder = OutputFolder::open(root_ / "out", true);
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder.value().write("report.json", "new"));
    ASSERT_TRUE(folder.value().write("figures/new.png", "new"));
    EXPECT_EQ(get(root_ / "out/report.json"), "old");
    ASSERT_TRUE(folder.value().commit());
    EXPECT_EQ(get(root_ / "out/report.json"), "new");
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/mine.txt", "out/report.json", "out/figures", "out/figures/new.png"}));
}

TEST_F(OutputFolderTest, a_file_in_the_way_is_an_output_error) {
    put(root_ / "out", "a file");
    const auto folder = OutputFolder::open(root_ / "out", true);
    ASSERT_FALSE(folder);
    EXPECT_EQ(exit_status(folder.error().code), 5);
    EXPECT_EQ(get(root_ / "out"), "a file");
}

TEST_F(OutputFolderTest, an_unwritable_place_is_an_output_error_with_status_5) {
    // /proc refuses new folders to every user, root too.
    const auto folder = OutputFolder::open("/proc/perisclera-out", false);
    ASSERT_FALSE(folder);
    EXPECT_EQ(folder.error().code, ErrorCode::output_failed);
    EXPECT_EQ(exit_status(folder.error().code), 5);
}

TEST_F(OutputFolderTest, a_full_disk_is_an_output_error_and_leaves_the_old_output_whole) {
    fs::create_directory(root_ / "out");
    put(root_ / "out/report.json", "old");
    {
        auto folder = OutputFolder::open(root_ / "out", true);
        ASSERT_TRUE(folder);
        const SmallFilesOnly limit(4096);
        ASSERT_TRUE(folder.value().write("small", std::string(4096, 'x')));
        const auto written = folder.value().write("report.json", std::string(100'000, 'x'));
        ASSERT_FALSE(written);
        EXPECT_EQ(written.error().code, ErrorCode::output_failed);
        EXPECT_FALSE(fs::exists(folder.value().path() / "report.json"));
    }
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/report.json"}));
    EXPECT_EQ(get(root_ / "out/report.json"), "old");
}

// A run that is being ended has its folder removed while it may still write.
TEST_F(OutputFolderTest, a_removed_folder_is_not_brought_back) {
    auto folder = OutputFolder::open(root_ / "out", false);
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder.value().write("a/b/c", "x"));
    fs::remove_all(folder.value().path());
    EXPECT_FALSE(folder.value().write("a/b/d", "x"));
    EXPECT_FALSE(folder.value().write("e", "x"));
    EXPECT_EQ(tree(), std::set<std::string>{});
}

// Two runs below a parent folder that the first of them had to make.
TEST_F(OutputFolderTest, a_run_that_fails_takes_nothing_from_another) {
    auto second = [&] {
        auto first = OutputFolder::open(root_ / "a/b/one", false);
        EXPECT_TRUE(first);
        auto other = OutputFolder::open(root_ / "a/b/two", false);
        EXPECT_TRUE(other && other.value().write("report.json", "{}"));
        return other;
    }();
    ASSERT_TRUE(second.value().commit());
    EXPECT_EQ(tree(), (std::set<std::string>{"a", "a/b", "a/b/two", "a/b/two/report.json"}));
}

TEST_F(OutputFolderTest, a_folder_filled_meanwhile_is_refused) {
    {
        auto folder = OutputFolder::open(root_ / "out", false);
        ASSERT_TRUE(folder && folder.value().write("report.json", "new"));
        fs::create_directory(root_ / "out");
        put(root_ / "out/report.json", "another run's");
        const auto done = folder.value().commit();
        ASSERT_FALSE(done);
        EXPECT_EQ(done.error().code, ErrorCode::output_not_empty);
    }
    EXPECT_EQ(get(root_ / "out/report.json"), "another run's");
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/report.json"}));
}

// A folder aside whose run is alive is locked (flock(2)); only names of the very form are touched.
TEST_F(OutputFolderTest, what_a_killed_run_left_is_cleared_and_what_a_living_one_has_is_not) {
    auto living = OutputFolder::open(root_ / "out", false);
    ASSERT_TRUE(living && living.value().write("report.json", "living"));
    for (const char* name : {".out.partial-1-0", ".other.partial-1-0", ".out.partial-mine", ".out.partial-1-0-2"}) {
        fs::create_directories(root_ / name / "figures");
        put(root_ / name / "figures/one.png", "left");
    }
    auto next = OutputFolder::open(root_ / "out", false);
    ASSERT_TRUE(next);
    EXPECT_FALSE(fs::exists(root_ / ".out.partial-1-0"));
    for (const char* name : {".other.partial-1-0", ".out.partial-mine", ".out.partial-1-0-2"}) EXPECT_TRUE(fs::exists(root_ / name / "figures/one.png")) << name;
    ASSERT_TRUE(living.value().commit());
    EXPECT_EQ(get(root_ / "out/report.json"), "living");
}

// With force the folder changes as a whole; what it keeps is the same file, not a copy (stat(2): the file has a number).
TEST_F(OutputFolderTest, force_keeps_links_folders_and_rights_of_what_is_not_replaced) {
    fs::create_directories(root_ / "out/mine/deep");
    put(root_ / "out/mine/deep/file", "keep");
    fs::create_symlink("nowhere", root_ / "out/link");
    fs::permissions(root_ / "out/mine/deep", fs::perms::owner_all);
    fs::permissions(root_ / "out", fs::perms::owner_all);
    struct stat before {}, after {};
    ASSERT_EQ(::stat((root_ / "out/mine/deep/file").c_str(), &before), 0);
    auto folder = OutputFolder::open(root_ / "out", true);
    ASSERT_TRUE(folder && folder.value().write("report.json", "new"));
    ASSERT_TRUE(folder.value().commit());
    ASSERT_EQ(::stat((root_ / "out/mine/deep/file").c_str(), &after), 0);
    EXPECT_EQ(before.st_ino, after.st_ino);
    EXPECT_EQ(after.st_nlink, 1U);
    EXPECT_TRUE(fs::is_symlink(fs::symlink_status(root_ / "out/link")));
    EXPECT_EQ(fs::status(root_ / "out").permissions(), fs::perms::owner_all);
    EXPECT_EQ(fs::status(root_ / "out/mine/deep").permissions(), fs::perms::owner_all);
    EXPECT_EQ(tree(), (std::set<std::string>{"out", "out/report.json", "out/mine", "out/mine/deep", "out/mine/deep/file", "out/link"}));
}

TEST_F(OutputFolderTest, messages_name_no_path) {
    const auto folder = OutputFolder::open("/proc/Invented^Name/out", false);
    ASSERT_FALSE(folder);
    EXPECT_EQ(one_line(folder.error()).find("Invented"), std::string::npos);
}

TEST_F(OutputFolderTest, an_uncommitted_file_vanishes_and_a_committed_one_replaces) {
    put(root_ / "f", "old");
    {
        auto file = AtomicFile::create(root_ / "f");
        ASSERT_TRUE(file);
        ASSERT_TRUE(file.value().write("new"));
    }
    EXPECT_EQ(tree(), std::set<std::string>{"f"});
    EXPECT_EQ(get(root_ / "f"), "old");
    auto file = AtomicFile::create(root_ / "f");
    ASSERT_TRUE(file);
    ASSERT_TRUE(file.value().write("ne"));
    ASSERT_TRUE(file.value().write("w"));
    ASSERT_TRUE(file.value().commit());
    EXPECT_EQ(get(root_ / "f"), "new");
    EXPECT_EQ(tree(), std::set<std::string>{"f"});
}

}  // namespace
}  // namespace perisclera
