// SPDX-License-Identifier: Apache-2.0
// Surfaces round bodies of known volume: closed, outward, of that volume; and their file as VTK's reader reads it.
#include <map>

#include <gtest/gtest.h>
#include <vtkCellArray.h>
#include <vtkIdList.h>
#include <vtkMassProperties.h>
#include <vtkNew.h>
#include <vtkPLYReader.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

#include "perisclera/masks/surface.h"
#include "tests/support/test_folder.h"

namespace perisclera::masks {

namespace {

/// Oblique, coarse between slices; `mirrored`: the slices run against rows and columns; `lean`: each lies that many mm further along the columns than the one before.
VolumeGeometry grid(double slice_mm, bool mirrored = false, double lean = 0.0) {
    const double a = 0.3;
    const PatientVector row{std::cos(a), std::sin(a), 0}, column{-std::sin(a), std::cos(a), 0}, step{0, 0, mirrored ? -slice_mm : slice_mm};
    return VolumeGeometry::make({-60.0, 15.0, mirrored ? 30.0 : -20.0}, row, column, step + column * lean, {0.5, 0.6}, {30, 26, 24}).value();
}

/// The share of each voxel that lies where `inside` says so, by 512 points in each.
template <class Inside>
VoxelShares shares_of(const VolumeGeometry& geometry, const Inside& inside) {
    VoxelShares shares{{0, 0, 0}, geometry.size(), {}};
    constexpr int n = 8;
    for (int z = 0; z < shares.size[2]; ++z)
        for (int y = 0; y < shares.size[1]; ++y)
            for (int x = 0; x < shares.size[0]; ++x) {
                int count = 0;
                for (int k = 0; k < n * n * n; ++k)
                    count += inside(geometry.to_patient({x + (k % n + 0.5) / n - 0.5, y + (k / n % n + 0.5) / n - 0.5, z + (k / n / n + 0.5) / n - 0.5}));
                shares.share.push_back(static_cast<float>(count) / static_cast<float>(n * n * n));
            }
    return shares;
}

PatientPoint middle(const VolumeGeometry& g) { return g.to_patient({0.5 * (g.size()[0] - 1), 0.5 * (g.size()[1] - 1), 0.5 * (g.size()[2] - 1)}); }

/// Each edge lies in exactly two triangles, which run along it in opposite directions.
void expect_closed(const Surface& surface) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, int> edges;
    for (const auto& t : surface.triangles)
        for (std::size_t k = 0; k < 3; ++k) ++edges[{t[k], t[(k + 1) % 3]}];
    for (const auto& [edge, count] : edges) {
        ASSERT_EQ(count, 1) << "an edge in more than two triangles";
        ASSERT_TRUE(edges.contains({edge.second, edge.first})) << "an open edge";
    }
}

/// By VTK.
double enclosed_mm3(const Surface& surface) {
    vtkNew<vtkPoints> points;
    points->SetDataTypeToDouble();
    for (const PatientPoint& p : surface.corners) points->InsertNextPoint(p.x, p.y, p.z);
    vtkNew<vtkCellArray> triangles;
    for (const auto& t : surface.triangles) triangles->InsertNextCell({static_cast<vtkIdType>(t[0]), static_cast<vtkIdType>(t[1]), static_cast<vtkIdType>(t[2])});
    vtkNew<vtkPolyData> data;
    data->SetPoints(points);
    data->SetPolys(triangles);
    vtkNew<vtkMassProperties> mass;
    mass->SetInputData(data);
    return mass->GetVolume();
}

constexpr double sphere_mm3 = 4.0 / 3.0 * std::numbers::pi * 6.0 * 6.0 * 6.0;

}  // namespace

// The sum errs by the points in its rim: 512 in a voxel, far below 0.5 %.
TEST(SurfaceRound, a_sphere_has_its_closed_form_and_looks_outwards_however_the_grid_lies) {
    for (const VolumeGeometry& g : {grid(0.7), grid(0.7, true), grid(2.0), grid(2.0, true), grid(0.7, false, 0.2), grid(0.7, true, 0.2)}) {
        const PatientPoint centre = middle(g);
        const VoxelShares shares = shares_of(g, [&](PatientPoint p) { return length(p - centre) < 6.0; });
        EXPECT_NEAR(filled_mm3(g, shares), sphere_mm3, 0.005 * sphere_mm3);
        const Surface surface = surface_round(g, shares);
        ASSERT_FALSE(surface.triangles.empty());
        expect_closed(surface);
        EXPECT_NEAR(enclosed_mm3(surface), sphere_mm3, 0.01 * sphere_mm3);
        // Seen from the centre each triangle of a ball looks away, and lies within half a slice of its surface.
        for (const auto& [i, j, k] : surface.triangles) {
            const PatientPoint a = surface.corners[i], b = surface.corners[j], c = surface.corners[k];
            const PatientVector across = cross(b - a, c - a), out = ((a - centre) + (b - centre) + (c - centre)) / 3.0;
            EXPECT_GT(dot(across, out), -1e-9);   // of no area, where a share is the level's to the last digit
            EXPECT_NEAR(length(a - centre), 6.0, 0.5 * g.spacing_mm()[2]);
        }
    }
}

/// A disc of 6 mm about the grid's middle.
VoxelShares plate(const VolumeGeometry& g, PatientVector normal, double thickness) {
    return shares_of(g, [&, centre = middle(g)](PatientPoint p) {
        const double above = dot(p - centre, normal);
        return std::abs(above) < 0.5 * thickness && length((p - centre) - normal * above) < 6.0;
    });
}

// 0.3 mm, 25 degrees from slices of 1.5 mm: no voxel is filled by half. Points 0.19 mm apart, at all heights of the plate, count its volume to a percent or two.
TEST(SurfaceRound, a_plate_thinner_than_the_voxels_keeps_its_volume) {
    const VolumeGeometry g = grid(1.5);
    const double tilt = 25.0 * std::numbers::pi / 180.0, volume = std::numbers::pi * 36.0 * 0.3;
    const VoxelShares shares = plate(g, {std::sin(tilt), 0.0, std::cos(tilt)}, 0.3);
    ASSERT_LT(*std::max_element(shares.share.begin(), shares.share.end()), 0.5f);
    const Surface surface = surface_round(g, shares);
    ASSERT_FALSE(surface.triangles.empty());
    expect_closed(surface);
    EXPECT_NEAR(enclosed_mm3(surface), volume, 0.03 * volume);
}

// It lies midway between two slices: of all surfaces of equal share none lies between nothing and the whole 1.5 mm.
TEST(SurfaceRound, what_no_surface_can_enclose_has_none_rather_than_a_wrong_one) {
    EXPECT_TRUE(surface_round(grid(1.5), plate(grid(1.5), {0, 0, 1}, 0.375)).triangles.empty());
}

TEST(SurfaceRound, a_body_cut_by_the_grids_edge_is_closed_and_nothing_filled_has_none) {
    const VolumeGeometry g = grid(0.7);
    const PatientPoint at_edge = g.to_patient({0, 0, 0});
    const VoxelShares shares = shares_of(g, [&](PatientPoint p) { return length(p - at_edge) < 6.0; });
    const Surface surface = surface_round(g, shares);
    expect_closed(surface);
    EXPECT_NEAR(enclosed_mm3(surface), filled_mm3(g, shares), 0.002 * filled_mm3(g, shares));
    EXPECT_TRUE(surface_round(g, {}).triangles.empty());
    EXPECT_TRUE(surface_round(g, {{3, 3, 3}, {2, 1, 1}, {0.0f, 0.0f}}).triangles.empty());
}

TEST(SurfaceRound, whatever_the_shares_are_it_is_closed) {
    std::mt19937 draw(7);
    for (int round = 0; round < 40; ++round) {
        VoxelShares shares{{5, 6, 7}, {9, 8, 7}, {}};
        for (int k = 0; k < 9 * 8 * 7; ++k) shares.share.push_back(static_cast<float>(draw() % 256u) / 255.0f);
        const Surface surface = surface_round(grid(0.7), shares);
        EXPECT_FALSE(surface.triangles.empty());
        expect_closed(surface);
    }
}

TEST(Ply, vtks_reader_reads_corners_and_triangles_and_the_header_names_the_frame) {
    const VolumeGeometry g = grid(0.7, true);
    const PatientPoint centre = middle(g);
    const Surface surface = surface_round(g, shares_of(g, [&](PatientPoint p) { return length(p - centre) < 3.0; }));
    const std::string bytes = ply_bytes(surface, "LPS, mm");
    EXPECT_TRUE(bytes.starts_with("ply\nformat binary_little_endian 1.0\ncomment LPS, mm\n"));
    EXPECT_EQ(bytes, ply_bytes(surface, "LPS, mm"));
    const test::TestFolder folder;
    test::write_bytes(folder.path() / "one.ply", bytes);
    vtkNew<vtkPLYReader> reader;
    reader->SetFileName((folder.path() / "one.ply").c_str());
    reader->Update();
    vtkPolyData* mesh = reader->GetOutput();
    ASSERT_EQ(mesh->GetNumberOfPoints(), static_cast<vtkIdType>(surface.corners.size()));
    ASSERT_EQ(mesh->GetNumberOfCells(), static_cast<vtkIdType>(surface.triangles.size()));
    for (vtkIdType k = 0; k < mesh->GetNumberOfPoints(); ++k) {
        const PatientPoint& p = surface.corners[static_cast<std::size_t>(k)];
        double at[3];
        mesh->GetPoint(k, at);
        EXPECT_NEAR(at[0], p.x, 1e-5);
        EXPECT_NEAR(at[1], p.y, 1e-5);
        EXPECT_NEAR(at[2], p.z, 1e-5);
    }
    vtkNew<vtkIdList> corners;
    for (vtkIdType k = 0; k < mesh->GetNumberOfCells(); ++k) {
        mesh->GetCellPoints(k, corners);
        ASSERT_EQ(corners->GetNumberOfIds(), 3);
        for (vtkIdType c = 0; c < 3; ++c) EXPECT_EQ(corners->GetId(c), static_cast<vtkIdType>(surface.triangles[static_cast<std::size_t>(k)][static_cast<std::size_t>(c)]));
    }
}

}  // namespace perisclera::masks
