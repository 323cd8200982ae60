// SPDX-License-Identifier: Apache-2.0
// Masks as NIfTI: the bytes say what nifti1.h (NIfTI Data Format Working Group, 2003 and 2007) says they should, gzip's framing is that of RFC 1952, and ITK's reader, which shares
// nothing with the writer, finds every voxel where DICOM's formula (PS3.3 C.7.6.2.1.1) puts it.
#include <cstring>

#include <gtest/gtest.h>
#include <itkImage.h>
#include <itkImageFileReader.h>
#include <itkImageRegionConstIterator.h>
#include <itkNiftiImageIO.h>

#include "perisclera/masks/nifti.h"
#include "tests/support/inflated.h"
#include "tests/support/test_folder.h"

namespace perisclera::masks {

namespace {

using test::inflated;
using Triple = std::array<double, 3>;

/// A value of the machine's own, which is little endian as the file is.
template <class Value>
Value at(const std::string& bytes, std::size_t offset) {
    Value value{};
    std::memcpy(&value, bytes.data() + offset, sizeof value);
    return value;
}

struct Grid {
    const char* name;
    Triple origin, row, column, step;
    std::array<double, 2> in_plane;
    std::array<int, 3> size;
    /// Where a voxel lies by the DICOM standard, LPS.
    [[nodiscard]] Triple place(double i, double j, double k) const {
        Triple p{};
        for (std::size_t a = 0; a < 3; ++a) p[a] = origin[a] + row[a] * in_plane[0] * i + column[a] * in_plane[1] * j + step[a] * k;
        return p;
    }
    [[nodiscard]] VolumeGeometry geometry() const {
        return VolumeGeometry::make({origin[0], origin[1], origin[2]}, {row[0], row[1], row[2]}, {column[0], column[1], column[2]}, {step[0], step[1], step[2]}, in_plane, size).value();
    }
};

/// 20 degrees about x, then 35 about z: all axes oblique. A third axis the other way round; one voxel in 64 kB of zeros and more.
std::vector<Grid> upright_grids() {
    const double a = std::numbers::pi / 9.0, b = 35.0 * std::numbers::pi / 180.0;
    const Triple row{std::cos(b), std::sin(b), 0.0}, column{-std::sin(b) * std::cos(a), std::cos(b) * std::cos(a), std::sin(a)}, normal{std::sin(b) * std::sin(a), -std::cos(b) * std::sin(a), std::cos(a)};
    const auto times = [](Triple v, double f) { return Triple{v[0] * f, v[1] * f, v[2] * f}; };
    return {{"axial", {-71.5, -103.25, 40.0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 2.5}, {0.4, 0.6}, {50, 40, 12}},
            {"axial from above", {-71.5, -103.25, 40.0}, {1, 0, 0}, {0, 1, 0}, {0, 0, -2.5}, {0.4, 0.6}, {50, 40, 12}},
            {"coronal", {-60.0, 12.0, 80.0}, {1, 0, 0}, {0, 0, -1}, {0, 3.0, 0}, {0.5, 0.5}, {30, 31, 9}},
            {"sagittal", {-60.0, 12.0, 80.0}, {0, 1, 0}, {0, 0, -1}, {2.0, 0, 0}, {0.5, 0.7}, {30, 31, 9}},
            {"oblique", {10.0, -20.0, 30.0}, row, column, times(normal, 3.3), {0.55, 0.45}, {33, 29, 7}},
            {"oblique against its normal", {10.0, -20.0, 30.0}, row, column, times(normal, -3.3), {0.55, 0.45}, {33, 29, 7}},
            {"large", {-100, -90, 5}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.4, 0.4}, {512, 300, 9}}};
}

/// Slices 1 mm apart that each lie 0.27 mm further back: a gantry that leans 15 degrees.
Grid leaning_grid() { return {"leaning", {-71.5, -103.25, 40.0}, {1, 0, 0}, {0, 1, 0}, {0, std::tan(std::numbers::pi / 12.0), 1.0}, {0.4, 0.6}, {50, 40, 12}}; }

/// Of the planted voxels one is the brightest.
VoxelBytes planted() { return {{20, 11, 3}, {2, 3, 3}, {7, 1, 0, 90, 3, 0, 0, 0, 0, 200, 0, 4, 0, 6, 0, 1, 255, 0}}; }
constexpr std::array<int, 3> brightest{20, 13, 5};   // the seventeenth: first in its row, third row, third slice

std::string bytes_of(const Grid& grid, double slope = 1.0 / 255.0) { return nifti_bytes(grid.geometry(), planted(), slope, "planted voxels"); }

/// RAS of a voxel by "METHOD 2" of nifti1.h.
Triple by_rotation(const std::string& h, double i, double j, double k) {
    const double b = static_cast<double>(at<float>(h, 256)), c = static_cast<double>(at<float>(h, 260)), d = static_cast<double>(at<float>(h, 264)), a = std::sqrt(std::max(0.0, 1.0 - b * b - c * c - d * d));
    const double x = i * static_cast<double>(at<float>(h, 80)), y = j * static_cast<double>(at<float>(h, 84)), z = k * static_cast<double>(at<float>(h, 88)) * static_cast<double>(at<float>(h, 76));
    return {(a * a + b * b - c * c - d * d) * x + 2 * (b * c - a * d) * y + 2 * (b * d + a * c) * z + static_cast<double>(at<float>(h, 268)),
            2 * (b * c + a * d) * x + (a * a + c * c - b * b - d * d) * y + 2 * (c * d - a * b) * z + static_cast<double>(at<float>(h, 272)),
            2 * (b * d - a * c) * x + 2 * (c * d + a * b) * y + (a * a + d * d - c * c - b * b) * z + static_cast<double>(at<float>(h, 276))};
}

/// The same by "METHOD 3".
Triple by_affine(const std::string& h, double i, double j, double k) {
    Triple p{};
    for (std::size_t row = 0; row < 3; ++row) {
        const auto s = [&](std::size_t column) { return static_cast<double>(at<float>(h, 280 + 16 * row + 4 * column)); };
        p[row] = s(0) * i + s(1) * j + s(2) * k + s(3);
    }
    return p;
}

constexpr double of_floats_mm = 2e-4;   ///< the header's numbers are floats: seven digits of some hundred mm, times a few axes
constexpr double of_rotation_mm = 0.02;   ///< its fourth part is the root of what floats leave of one: up to 3e-4, twice that as angle, at the grids' up to 30 mm

void expect_at(const Triple& ras, const Triple& lps, double tolerance, const char* what) {
    EXPECT_NEAR(ras[0], -lps[0], tolerance) << what;
    EXPECT_NEAR(ras[1], -lps[1], tolerance) << what;
    EXPECT_NEAR(ras[2], lps[2], tolerance) << what;
}

using Image = itk::Image<float, 3>;

Image::Pointer read_by_itk(const std::string& file) {
    const test::TestFolder folder;
    const auto path = folder.path() / "one.nii.gz";
    test::write_bytes(path, file);
    auto reader = itk::ImageFileReader<Image>::New();
    reader->SetImageIO(itk::NiftiImageIO::New());
    reader->SetFileName(path.string());
    reader->Update();
    return reader->GetOutput();
}

}  // namespace

TEST(Nifti, the_header_is_laid_out_as_published) {
    const std::string h = inflated(bytes_of(upright_grids()[0]));
    EXPECT_EQ(at<std::int32_t>(h, 0), 348);                       // sizeof_hdr
    const std::array<std::int16_t, 8> dim{3, 50, 40, 12, 1, 1, 1, 1};
    for (std::size_t k = 0; k < 8; ++k) EXPECT_EQ(at<std::int16_t>(h, 40 + 2 * k), dim[k]) << k;
    EXPECT_EQ(at<std::int16_t>(h, 70), 2);                        // datatype: DT_UINT8
    EXPECT_EQ(at<std::int16_t>(h, 72), 8);                        // bitpix
    EXPECT_FLOAT_EQ(at<float>(h, 80), 0.4f);                      // pixdim
    EXPECT_FLOAT_EQ(at<float>(h, 84), 0.6f);
    EXPECT_FLOAT_EQ(at<float>(h, 88), 2.5f);
    EXPECT_EQ(at<float>(h, 108), 352.0f);                         // vox_offset
    EXPECT_FLOAT_EQ(at<float>(h, 112), 1.0f / 255.0f);            // scl_slope
    EXPECT_EQ(at<float>(h, 116), 0.0f);                           // scl_inter
    EXPECT_EQ(h[123], 2);                                         // xyzt_units: NIFTI_UNITS_MM
    EXPECT_STREQ(h.c_str() + 148, "planted voxels");              // descrip
    EXPECT_EQ(at<std::int16_t>(h, 252), 1);                       // qform_code: NIFTI_XFORM_SCANNER_ANAT
    EXPECT_EQ(at<std::int16_t>(h, 254), 1);                       // sform_code
    EXPECT_EQ(h.substr(344, 4), std::string("n+1\0", 4));         // magic
    EXPECT_EQ(h.substr(348, 4), std::string(4, '\0'));            // no extension
    for (const auto& [from, count] : {std::pair<std::size_t, std::size_t>{4, 34}, {228, 24}, {328, 16}}) EXPECT_EQ(h.substr(from, count), std::string(count, '\0')) << "a text nobody put there";
}

TEST(Nifti, every_byte_of_the_grid_is_there_and_gzips_header_tells_no_time) {
    for (const Grid& grid : upright_grids()) {
        const std::string file = bytes_of(grid), h = inflated(file);
        const auto [nx, ny, nz] = grid.size;
        std::string voxels(static_cast<std::size_t>(nx) * static_cast<std::size_t>(ny) * static_cast<std::size_t>(nz), '\0');
        std::size_t next = 0;
        for (int z = 3; z < 6; ++z)
            for (int y = 11; y < 14; ++y)
                for (int x = 20; x < 22; ++x) voxels[static_cast<std::size_t>((z * ny + y) * nx + x)] = static_cast<char>(planted().value[next++]);
        ASSERT_EQ(h.size(), 352 + voxels.size()) << grid.name;
        EXPECT_TRUE(h.substr(352) == voxels) << grid.name;
        EXPECT_EQ(file.substr(0, 8), std::string("\x1f\x8b\x08\0\0\0\0\0", 8)) << "RFC 1952 2.3: deflated, no name or comment, no time";
        EXPECT_EQ(file, bytes_of(grid));
    }
    EXPECT_EQ(inflated(nifti_bytes(upright_grids()[0].geometry(), {}, 1.0, "")).substr(352), std::string(50 * 40 * 12, '\0')) << "nothing filled";
}

TEST(Nifti, affine_and_rotation_both_put_a_voxel_where_dicom_does) {
    for (const Grid& grid : upright_grids()) {
        const std::string h = inflated(bytes_of(grid));
        for (const std::array<int, 3>& v : {brightest, std::array<int, 3>{0, 0, 0}, {grid.size[0] - 1, 0, grid.size[2] - 1}, {0, grid.size[1] - 1, grid.size[2] - 1}}) {
            expect_at(by_affine(h, v[0], v[1], v[2]), grid.place(v[0], v[1], v[2]), of_floats_mm, grid.name);
            expect_at(by_rotation(h, v[0], v[1], v[2]), grid.place(v[0], v[1], v[2]), of_rotation_mm, grid.name);
        }
    }
}

TEST(Nifti, itks_reader_finds_the_planted_voxel_at_its_place) {
    for (const Grid& grid : upright_grids()) {
        const Image::Pointer image = read_by_itk(bytes_of(grid));
        itk::ImageRegionConstIterator<Image> voxel(image, image->GetLargestPossibleRegion());
        Image::IndexType most{};
        float highest = -1.0f;
        double sum = 0.0;
        for (; !voxel.IsAtEnd(); ++voxel) {
            sum += static_cast<double>(voxel.Get());
            if (voxel.Get() > highest) highest = voxel.Get(), most = voxel.GetIndex();
        }
        EXPECT_FLOAT_EQ(highest, 1.0f) << grid.name;
        EXPECT_NEAR(sum * 255.0, 7 + 1 + 90 + 3 + 200 + 4 + 6 + 1 + 255, 1e-3) << grid.name;
        const Image::PointType place = image->TransformIndexToPhysicalPoint<double>(most);
        const Triple meant = grid.place(brightest[0], brightest[1], brightest[2]);
        for (unsigned a = 0; a < 3; ++a) EXPECT_NEAR(place[a], meant[a], 1e-3) << grid.name;   // 1e-3: ITK keeps spacing and origin as floats
    }
}

TEST(Nifti, leaning_slices_are_told_by_the_affine_alone) {
    const Grid grid = leaning_grid();
    const std::string h = inflated(bytes_of(grid));
    EXPECT_EQ(at<std::int16_t>(h, 252), 0) << "a rotation cannot tell it";
    EXPECT_EQ(at<std::int16_t>(h, 254), 1);
    for (const std::array<int, 3>& v : {brightest, std::array<int, 3>{0, 0, 0}, {49, 39, 11}}) expect_at(by_affine(h, v[0], v[1], v[2]), grid.place(v[0], v[1], v[2]), of_floats_mm, grid.name);
    double volume = 1.0;
    for (const std::size_t axis : {0u, 1u, 2u}) volume *= static_cast<double>(at<float>(h, 80 + 4 * axis));
    EXPECT_NEAR(volume, 0.4 * 0.6 * 1.0, 1e-6) << "leaning moves slices along themselves: a voxel keeps its volume";
    EXPECT_THROW(read_by_itk(bytes_of(grid)), itk::ExceptionObject) << "ITK cannot hold such a grid, and says so rather than set it upright";
}

}  // namespace perisclera::masks
