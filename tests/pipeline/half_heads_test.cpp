// SPDX-License-Identifier: Apache-2.0
// Real heads cut so that one eye or none is left: what is told of it is right, and most is told. Truth: the same head uncut, whose
// globes and sides are held against places set by hand (real_heads_test). Skipped where the heads are absent.
#include <array>
#include <cmath>
#include <limits>

#include <gtest/gtest.h>

#include "perisclera/anatomy/lone_globe.h"
#include "perisclera/assemble/load_patient.h"
#include "tests/support/test_data.h"

namespace perisclera {

namespace {

/// The voxels of a grid on one side of a plane across one patient axis, cut along the voxel axis nearest to it.
std::optional<VoxelGrid> cut(const VoxelGrid& grid, PatientVector towards, PatientPoint from) {
    const VolumeGeometry& g = grid.geometry();
    const std::array<PatientVector, 3> axes{g.row(), g.column(), g.normal()};
    std::size_t along = 0;
    for (std::size_t a = 1; a < 3; ++a)
        if (std::abs(dot(axes[a], towards)) > std::abs(dot(axes[along], towards))) along = a;
    const VoxelPoint at = g.to_voxel(from);
    const int place = static_cast<int>(std::lround(along == 0 ? at.x : along == 1 ? at.y : at.z));
    std::array<int, 3> first{0, 0, 0}, size = g.size();
    if (place < 4 || place + 4 > size[along]) return std::nullopt;
    if (dot(axes[along], towards) > 0.0)
        first[along] = place, size[along] -= place;
    else
        size[along] = place;
    return grid.sub_block(first, size);
}

/// Share of a globe's ball that lies within the images.
double held(const VoxelGrid& grid, const GlobeCandidate& globe) {
    int all = 0, within = 0;
    for (double x = -12.0; x <= 12.0; x += 1.0)
        for (double y = -12.0; y <= 12.0; y += 1.0)
            for (double z = -12.0; z <= 12.0; z += 1.0) {
                if (x * x + y * y + z * z > 144.0) continue;
                ++all;
                within += grid.geometry().contains(globe.centre + PatientVector{x, y, z}) ? 1 : 0;
            }
    return static_cast<double>(within) / all;
}

std::optional<LoneGlobe> lone(const VoxelGrid& grid, Modality modality) { return find_lone_globe(grid, modality, globe_candidates(grid, modality)); }

}  // namespace

TEST(HalfHeads, what_is_told_of_one_eye_is_right_and_behind_the_eyes_there_is_none) {
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    int halves = 0, found = 0, with_side = 0;
    for (const char* head : {"heads/adult_mr", "heads/adult_t1_1mm", "heads/coarse_ct", "cases/c04_no_explant"}) {
        const auto patient = read_patient({test::shared_data() / head}, {std::nullopt, 2, {}});
        ASSERT_TRUE(patient.ok()) << one_line(patient.error());
        for (const ImageSeries& series : patient.value().visits.front().series) {
            const Modality modality = series.description.modality;
            const FoundGlobes pair = find_globes(series.grid(), modality);
            if (!pair.right) continue;
            const PatientPoint middle = pair.right->centre + (pair.left->centre - pair.right->centre) * 0.5;
            for (const Eye eye : both_eyes) {
                const auto half = cut(series.grid(), {temporal_sign(eye), 0, 0}, middle);
                if (!half) continue;
                // What must be found holds 70 % of its globe, as in docs/globes.md; one series images half of the right globe.
                constexpr double most_of_it = 0.7;
                const bool whole = held(*half, eye == Eye::right ? *pair.right : *pair.left) >= most_of_it;
                halves += whole ? 1 : 0;
                const auto one = lone(*half, modality);
                if (!one) continue;
                found += whole ? 1 : 0;
                const std::string what = std::string(head) + " " + std::string(name(series.description.role)) + " " + std::string(name(eye));
                EXPECT_LT(length(one->globe.centre - (eye == Eye::right ? pair.right : pair.left)->centre), 2.0) << what;
                EXPECT_FALSE(fellow_place_is_imaged(*half, eye, one->globe)) << what;
                if (!one->side) continue;
                with_side += whole ? 1 : 0;
                EXPECT_EQ(*one->side, eye) << what;
            }
            constexpr PatientVector back{0, 1, 0};
            const auto behind = cut(series.grid(), back, middle + back * 30.0);
            if (!behind) continue;
            EXPECT_FALSE(lone(*behind, modality)) << head << ' ' << name(series.description.role);
        }
    }
    RecordProperty("halves", halves);
    RecordProperty("found", found);
    RecordProperty("with_side", with_side);
    EXPECT_GE(halves, 12);
    EXPECT_EQ(found, halves);
    EXPECT_GE(with_side, halves - 2) << "where the images hold too little the side stays open, but not as a rule";
}

}  // namespace perisclera
