// SPDX-License-Identifier: Apache-2.0
// The documents count what they say they count, on a few rows made by hand.
#include <gtest/gtest.h>

#include "alignment_table.h"
#include "table_text.h"

namespace perisclera::globes {

/// An eye on thin slices.
GlobeRow row(int patient, double held, Sighting sighting) {
    GlobeRow row{patient, 0, Eye::right, {{"all", "all"}, {"slices", "0.6 to 1.5 mm"}}, held, sighting, std::nullopt, std::nullopt};
    if (sighting != Sighting::found) return row;
    row.errors = GlobeErrors{};
    row.errors->surface_mean_mm = 0.1;
    row.errors->axis_deg = 2.0;
    row.errors->axis = {true, 4.0, {1.0, -1.0}};
    row.errors->centre = {false, 0.1, {0.5}};
    return row;
}

void expect_line(const std::string& document, const std::string& line) { EXPECT_NE(document.find(line), std::string::npos) << line << "\nis not in\n" << document; }

TEST(GlobesDocument, counts_globes_held_well_enough_and_false_ones_wherever_they_are) {
    GlobeRow far = row(2, 1.0, Sighting::found);
    far.errors->surface_mean_mm = 0.3;
    far.errors->axis_deg = 4.0;
    const std::string document = globes_document({row(0, 1.0, Sighting::found), row(1, 0.9, Sighting::missed), far, row(3, 0.8, Sighting::false_globe), row(4, 0.0, Sighting::rightly_none),
                                                  row(5, 0.0, Sighting::false_globe), row(6, 0.5, Sighting::found)},
                                                 {1, 7});
    expect_line(document, "| every globe found of which the images hold 70 % | 2 of 4 |");
    expect_line(document, "| no false globe | 2 |");
    expect_line(document, "reached in 50 % |");
    expect_line(document, "| axial length within 0.3 mm in 95 % | measured in 0 of 2;");
    expect_line(document, "| axis within 3 degrees in 95 % | 50 % |");
    expect_line(document, "Of globes held to less than 70 %, which no target speaks of, 1 of 1 were found.");
    // Both axes hold, no centre does, which the binomial test rejects (0.05^2 = 0.0025); 4 mm over the components' deviation of 1 is too wide.
    expect_line(document, "| all | 2 of 2, 4.0 wide | 0 of 2 !");
}

TEST(AlignmentDocument, counts_points_of_all_eyes_and_compares_the_whole_time) {
    const MappingError near{std::vector(24, 0.2), 1.0, 0.5}, far{std::vector(24, 3.0), 5.0, -2.5};
    const PairRow first{0, {{"all", "all"}}, 10.0, {{far, std::nullopt}, 0.5}, {{near, std::nullopt}, 1.0}, {{near}, 1.0}, {{far, far}, 30.0}, {0.4}, {"far apart"}};
    const PairRow second{1, {{"all", "all"}}, 20.0, {{near, far}, 0.5}, {{near, far}, 1.0}, {{near}, 1.0}, {{std::nullopt, std::nullopt}, 10.0}, {0.8, 0.6}};
    const std::string document = alignment_document({first, second}, {1, 2});
    expect_line(document, "| at least 10 times faster than registration | 40.0 times, the globes being known; 20.0 times with");
    expect_line(document, "| every eye brought together | 3 of 4; refused by name: 1 |");
    expect_line(document, "| refused: far apart");
    expect_line(document, "mm | median 0.60, 95th percentile 0.60 mm |");             // by rank, of three
    expect_line(document, "within 2 degrees in 67 %");                                      // 2 of 3 eyes
    expect_line(document, "| | | together | 3 of 4 | 0.20, 3.00 | 67 % |");                // 48 of 72 points
    expect_line(document, "| | | together, true globes | 2 of 2 | 0.20, 0.20 | 100 % |");
    expect_line(document, "| | | registration | 2 of 4 | 3.00, 3.00 | 0 % |");
}

TEST(Cells, tell_sizes_and_middles) {
    EXPECT_EQ(median_and_95th({-3.0, 1.0, 2.0}, 1), "2.0, 2.0");  // by rank: the second and, of three, the second again (0.95 of 2 is 1.9)
    EXPECT_EQ(middle({-3.0, 1.0, 2.0}, 1), "+1.0");
    EXPECT_EQ(fixed(-0.04, 1), "0.0");
    EXPECT_EQ(percent(1, 0), "–");
}

}  // namespace perisclera::globes
