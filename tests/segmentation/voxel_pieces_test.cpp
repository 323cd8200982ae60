// SPDX-License-Identifier: Apache-2.0
// Pieces of filled voxels, held against pieces that were put there.
#include "perisclera/segmentation/voxel_pieces.h"

#include <gtest/gtest.h>

#include <array>
#include <initializer_list>

namespace perisclera {
namespace {

VoxelMask with(std::initializer_list<std::array<int, 3>> filled) {
    VoxelMask mask{{10, 20, 30}, {5, 4, 3}, std::vector<std::uint8_t>(60, 0)};
    for (const auto& v : filled) mask.filled[static_cast<std::size_t>((v[2] * 4 + v[1]) * 5 + v[0])] = 1;
    return mask;
}

TEST(VoxelPieces, only_pieces_large_enough_stay) {
    const VoxelMask kept = pieces_of_at_least(3, with({{0, 0, 0}, {1, 0, 0}, {1, 0, 1}, {4, 3, 2}, {4, 2, 2}}));
    EXPECT_EQ(kept.count(), 3u);
    EXPECT_TRUE(kept.at(10, 20, 30) && kept.at(11, 20, 30) && kept.at(11, 20, 31));
    EXPECT_FALSE(kept.at(14, 23, 32));
}

TEST(VoxelPieces, an_edge_in_common_joins_nothing) {
    const VoxelMask diagonal = with({{0, 0, 0}, {1, 1, 0}});
    EXPECT_EQ(pieces_of_at_least(2, diagonal).count(), 0u);
    EXPECT_EQ(pieces_of_at_least(1, diagonal).count(), 2u);
}

TEST(VoxelPieces, nothing_filled_stays_so) {
    EXPECT_EQ(pieces_of_at_least(1, with({})).count(), 0u);
    EXPECT_EQ(pieces_of_at_least(1, VoxelMask{}).count(), 0u);
}

}  // namespace
}  // namespace perisclera
