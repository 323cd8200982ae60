// SPDX-License-Identifier: Apache-2.0
// Real and composed heads beside the source tree: every series is read and gets the role that its provenance states.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "perisclera/assemble/load_patient.h"

namespace perisclera {
namespace {

const std::filesystem::path data = std::filesystem::path(PERISCLERA_SOURCE_DIR) / ".." / "shared" / "data";

struct Expected {
    std::string folder;
    std::vector<std::vector<std::string>> roles;  ///< per visit, sorted
};

class RealData : public ::testing::TestWithParam<Expected> {};

TEST_P(RealData, is_read_with_the_right_roles) {
    const auto folder = data / GetParam().folder;
    if (!std::filesystem::exists(folder)) GTEST_SKIP() << "no data at " << folder;
    const auto patient = read_patient({folder}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    std::vector<std::vector<std::string>> roles;
    for (const Visit& visit : patient.value().visits) {
        roles.emplace_back();
        for (const ImageSeries& series : visit.series) roles.back().emplace_back(name(series.description.role));
        std::sort(roles.back().begin(), roles.back().end());
        EXPECT_TRUE(visit.unused.empty());
    }
    EXPECT_EQ(roles, GetParam().roles);
    EXPECT_TRUE(patient.value().warnings.empty());
}

// Source: PROVENANCE.md of the data, which says what each series is.
INSTANTIATE_TEST_SUITE_P(heads_and_cases, RealData,
                         ::testing::Values(Expected{"heads/adult_mr", {{"t1", "t2"}}}, Expected{"heads/adult_t1_1mm", {{"t1"}}},
                                           Expected{"heads/coarse_ct", {{"ct_soft"}}}, Expected{"cases/c01_hydrogel_lower_temporal", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c02_sponge_upper_nasal", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c03_solid_encircling", {{"ct_soft", "t1", "t2"}}}, Expected{"cases/c04_no_explant", {{"ct_soft", "t1", "t2"}}},
                                           Expected{"cases/c05_hydrogel_growing", {{"ct_soft", "t2"}, {"ct_soft", "t2"}}}));

}  // namespace
}  // namespace perisclera
