// SPDX-License-Identifier: Apache-2.0
#include "perisclera/image/voxel_grid.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <vector>

namespace perisclera {

VolumeGeometry leaning_grid(std::array<int, 3> size) {
    const double t = 0.3;
    return VolumeGeometry::make({-20.0, 5.0, 60.0}, {1, 0, 0}, {0, std::cos(t), -std::sin(t)}, {0.1, 0.0, 1.8}, {0.5, 0.75}, size).value();
}

VoxelGrid filled(const VolumeGeometry& geometry, const std::function<double(VoxelPoint)>& f) {
    std::vector<float> values;
    const auto n = geometry.size();
    for (int z = 0; z < n[2]; ++z)
        for (int y = 0; y < n[1]; ++y)
            for (int x = 0; x < n[0]; ++x) values.push_back(static_cast<float>(f({static_cast<double>(x), static_cast<double>(y), static_cast<double>(z)})));
    return VoxelGrid(geometry, std::move(values));
}

TEST(VoxelGrid, columns_run_fastest_then_rows_then_slices) {
    const auto grid = filled(leaning_grid({5, 4, 3}), [](VoxelPoint v) { return v.x + 10 * v.y + 100 * v.z; });
    EXPECT_EQ(grid.at(3, 2, 1), 123.0f);
    EXPECT_EQ(grid.values()[grid.offset(4, 3, 2)], 234.0f);
    EXPECT_EQ(grid.offset(4, 3, 2), 5u * 4u * 3u - 1u);
}

// Trilinear interpolation is exact for every product of linear functions of x, y and z.
TEST(VoxelGrid, interpolation_is_exact_for_a_trilinear_function) {
    const auto f = [](VoxelPoint v) { return 2.0 - v.x + 0.5 * v.y + 3.0 * v.z + 0.25 * v.x * v.y - 0.125 * v.x * v.y * v.z; };
    const auto grid = filled(leaning_grid({9, 8, 7}), f);
    for (double x = 0.0; x <= 8.0; x += 0.8)
        for (double y = 0.1; y <= 7.0; y += 0.9)
            for (double z = 0.0; z <= 6.0; z += 0.75) EXPECT_NEAR(grid.sample(VoxelPoint{x, y, z}), f({x, y, z}), 1e-4);  // float: 24 bits of 40
}

TEST(VoxelGrid, a_linear_function_of_the_patients_space_is_sampled_exactly_also_on_a_leaning_stack) {
    const auto geometry = leaning_grid({20, 20, 12});
    const auto g = [](PatientPoint p) { return 1.5 * p.x - 0.25 * p.y + 0.75 * p.z; };
    const auto grid = filled(geometry, [&](VoxelPoint v) { return g(geometry.to_patient(v)); });
    for (const VoxelPoint v : {VoxelPoint{0.5, 0.5, 0.5}, VoxelPoint{18.9, 3.2, 10.7}, VoxelPoint{7, 7, 7}}) {
        const PatientPoint p = geometry.to_patient(v);
        EXPECT_NEAR(grid.sample(p), g(p), 1e-4);
    }
}

TEST(VoxelGrid, outside_the_grid_the_nearest_voxel_counts) {
    const auto grid = filled(leaning_grid({4, 4, 4}), [](VoxelPoint v) { return v.x + 10 * v.y + 100 * v.z; });
    EXPECT_EQ(grid.sample(VoxelPoint{-5, -5, -5}), 0.0f);
    EXPECT_EQ(grid.sample(VoxelPoint{9, 9, 9}), 333.0f);
    EXPECT_EQ(grid.sample(VoxelPoint{3, 3, 3}), 333.0f);
    EXPECT_EQ(grid.sample(VoxelPoint{1, -2, 2}), 201.0f);
}

TEST(VoxelGrid, an_axis_of_one_voxel_is_constant_along_itself) {
    const auto grid = filled(leaning_grid({3, 1, 1}), [](VoxelPoint v) { return v.x; });
    EXPECT_EQ(grid.sample(VoxelPoint{1.5, 0.0, 0.0}), 1.5f);
    EXPECT_EQ(grid.sample(VoxelPoint{1.5, 2.0, -3.0}), 1.5f);
}

TEST(VoxelGrid, sub_block_carries_the_same_values_at_the_same_places) {
    const auto grid = filled(leaning_grid({8, 7, 6}), [](VoxelPoint v) { return v.x + 10 * v.y + 100 * v.z; });
    const auto block = grid.sub_block({2, 1, 3}, {4, 5, 2});
    EXPECT_EQ(block.values().size(), 40u);
    EXPECT_EQ(block.at(0, 0, 0), 312.0f);
    EXPECT_EQ(block.at(3, 4, 1), 455.0f);
    const PatientPoint p = grid.geometry().to_patient({3.5, 2.5, 3.5});
    EXPECT_NEAR(block.sample(p), grid.sample(p), 1e-4);
}

TEST(VoxelGridDeathTest, a_buffer_of_the_wrong_size_stops_the_program) {
    EXPECT_DEATH(VoxelGrid(leaning_grid({2, 2, 2}), std::vector<float>(7)), "");
}

TEST(CtVolume, yields_hounsfield_units_at_a_place_in_the_patient) {
    const auto geometry = leaning_grid({6, 6, 6});
    const CtVolume ct(filled(geometry, [](VoxelPoint v) { return 40.0 + v.z; }));
    EXPECT_NEAR(ct.at(geometry.to_patient({2, 2, 3.5})).value(), 43.5, 1e-4);
}

}  // namespace perisclera
