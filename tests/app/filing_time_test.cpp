// SPDX-License-Identifier: Apache-2.0
// Filed objects say when they were made, so two runs differ; with SOURCE_DATE_EPOCH (reproducible-builds.org/specs/source-date-epoch) they do not.
#include <cstdlib>
#include <set>

#include <gtest/gtest.h>

#include "tests/support/child_process.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

TEST(FilingTime, a_stated_time_gives_the_same_bytes_and_another_time_other_objects) {
    const TestFolder folder;
    const auto filed_at = [&](const char* seconds, const std::string& name) {
        ::setenv("SOURCE_DATE_EPOCH", seconds, 1);
        const auto out = folder.path() / name;
        const Ended ended = run_child({PERISCLERA_PROGRAM, "identify", small_phantom().string(), "--out", out.string(), "--quiet"});
        ::unsetenv("SOURCE_DATE_EPOCH");
        EXPECT_EQ(ended.status, 0) << ended.error_text;
        std::map<std::filesystem::path, std::string> files;
        for (auto& [path, bytes] : contents_of(out)) files.emplace(path.lexically_relative(out), std::move(bytes));
        return files;
    };
    const auto first = filed_at("1700000000", "first"), again = filed_at("1700000000", "again"), later = filed_at("1700000001", "later");
    EXPECT_EQ(first, again);
    const std::filesystem::path segmentation = "dicom/t1/segmentation-1.dcm";
    ASSERT_TRUE(first.contains(segmentation));
    EXPECT_NE(first.at(segmentation), later.at(segmentation));
    EXPECT_EQ(first.at("report.json"), later.at("report.json"));
    // What docs/masks.md lists, of one element on the one series, and untimed.
    std::set<std::string> masks;
    for (const auto& [path, bytes] : first) {
        if (*path.begin() != "masks") continue;
        masks.insert(path.string());
        EXPECT_EQ(bytes, later.at(path)) << path;
    }
    EXPECT_EQ(masks, (std::set<std::string>{"masks/t1/R1-S1-mask.nii.gz", "masks/t1/R1-S1-occupancy.nii.gz", "masks/t1/R1-S1-surface.ply"}));
    EXPECT_NE(first.at(segmentation).find("20231114"), std::string::npos);   // date --utc --date=@1700000000
}

}  // namespace perisclera::test
