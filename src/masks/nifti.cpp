// SPDX-License-Identifier: Apache-2.0
#include "perisclera/masks/nifti.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "gzip.h"

namespace perisclera::masks {

namespace {

constexpr std::size_t header_bytes = 348, first_voxel = 352;

/// The header as nifti1.h lays it out: what is not put is zero.
class Header {
public:
    Header() : bytes_(first_voxel, '\0') {}   // with the four bytes that say that no extension follows
    void put_byte(std::size_t at, int value) { bytes_[at] = static_cast<char>(value); }
    void put_short(std::size_t at, int value) { put(at, static_cast<std::uint32_t>(value), 2); }
    void put_int(std::size_t at, int value) { put(at, static_cast<std::uint32_t>(value), 4); }
    void put_float(std::size_t at, double value) { put(at, std::bit_cast<std::uint32_t>(static_cast<float>(value)), 4); }
    void put_text(std::size_t at, std::string_view text, std::size_t room) { std::copy_n(text.begin(), std::min(text.size(), room - 1), bytes_.begin() + static_cast<std::ptrdiff_t>(at)); }
    [[nodiscard]] const std::string& bytes() const { return bytes_; }

private:
    void put(std::size_t at, std::uint32_t value, int count) {
        for (int k = 0; k < count; ++k) bytes_[at + static_cast<std::size_t>(k)] = static_cast<char>((value >> (8 * k)) & 0xFFu);
    }
    std::string bytes_;
};

/// From DICOM's directions to NIfTI's.
std::array<double, 3> ras(double x, double y, double z) { return {-x, -y, z}; }

using Columns = std::array<std::array<double, 3>, 3>;

/// b, c and d of the unit quaternion of a rotation, a being not negative (nifti1.h, "METHOD 2"). Largest component first, so that nothing is divided by what may be zero.
std::array<double, 3> quaternion(const Columns& column) {
    const auto r = [&](std::size_t row, std::size_t col) { return column[col][row]; };
    const std::array<double, 4> squares{1 + r(0, 0) + r(1, 1) + r(2, 2), 1 + r(0, 0) - r(1, 1) - r(2, 2), 1 - r(0, 0) + r(1, 1) - r(2, 2), 1 - r(0, 0) - r(1, 1) + r(2, 2)};   // four times
    const auto most = static_cast<std::size_t>(std::max_element(squares.begin(), squares.end()) - squares.begin());
    const double largest = 0.5 * std::sqrt(squares[most]), f = 0.25 / largest;
    std::array<double, 4> q{};
    if (most == 0)
        q = {largest, f * (r(2, 1) - r(1, 2)), f * (r(0, 2) - r(2, 0)), f * (r(1, 0) - r(0, 1))};
    else if (most == 1)
        q = {f * (r(2, 1) - r(1, 2)), largest, f * (r(0, 1) + r(1, 0)), f * (r(0, 2) + r(2, 0))};
    else if (most == 2)
        q = {f * (r(0, 2) - r(2, 0)), f * (r(0, 1) + r(1, 0)), largest, f * (r(1, 2) + r(2, 1))};
    else
        q = {f * (r(1, 0) - r(0, 1)), f * (r(0, 2) + r(2, 0)), f * (r(1, 2) + r(2, 1)), largest};
    const double sign = q[0] < 0.0 ? -1.0 : 1.0;
    return {sign * q[1], sign * q[2], sign * q[3]};
}

/// Does the last slice lie where one square on the step would, within what header decimals leave open?
bool square(const VolumeGeometry& geometry) {
    constexpr double tolerance_mm = 0.05;
    const PatientVector step = geometry.slice_step(), aside = step - geometry.normal() * dot(step, geometry.normal());
    return length(aside) * (geometry.size()[2] - 1) < tolerance_mm;
}

void put_place(Header& header, const VolumeGeometry& geometry) {
    constexpr int scanner = 1;   // NIFTI_XFORM_SCANNER_ANAT
    const std::array<double, 3> spacing = geometry.spacing_mm();
    const PatientPoint o = geometry.origin();
    const std::array<double, 3> origin = ras(o.x, o.y, o.z);
    const std::array<PatientVector, 3> steps{geometry.row() * spacing[0], geometry.column() * spacing[1], geometry.slice_step()};
    header.put_short(254, scanner);
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::array<double, 3> step = ras(steps[axis].x, steps[axis].y, steps[axis].z);
        for (std::size_t row = 0; row < 3; ++row) header.put_float(280 + 16 * row + 4 * axis, step[row]);
        header.put_float(292 + 16 * axis, origin[axis]);
    }
    const bool to_normal = dot(geometry.slice_step(), geometry.normal()) > 0.0;   // the rotation's third axis; the other way round is qfac
    header.put_float(76, to_normal ? 1.0 : -1.0);
    for (std::size_t axis = 0; axis < 3; ++axis) header.put_float(80 + 4 * axis, spacing[axis]);   // their product is a voxel's volume, leaning or not
    if (!square(geometry)) return;
    const PatientVector x = geometry.row(), y = geometry.column(), z = geometry.normal();
    const std::array<double, 3> turn = quaternion({ras(x.x, x.y, x.z), ras(y.x, y.y, y.z), ras(z.x, z.y, z.z)});
    header.put_short(252, scanner);
    for (std::size_t k = 0; k < 3; ++k) header.put_float(256 + 4 * k, turn[k]), header.put_float(268 + 4 * k, origin[k]);
}

std::string header_of(const VolumeGeometry& geometry, double slope, std::string_view description) {
    constexpr int unsigned_byte = 2, millimetres = 2;   // DT_UINT8, NIFTI_UNITS_MM
    Header header;
    header.put_int(0, static_cast<int>(header_bytes));
    header.put_byte(38, 'r');
    header.put_short(40, 3);
    for (std::size_t axis = 0; axis < 7; ++axis) header.put_short(42 + 2 * axis, axis < 3 ? geometry.size()[axis] : 1);
    header.put_short(70, unsigned_byte);
    header.put_short(72, 8);
    header.put_float(108, static_cast<double>(first_voxel));
    header.put_float(112, slope);
    header.put_byte(123, millimetres);
    header.put_float(124, 1.0);   // shown white from here on
    header.put_text(148, description, 80);
    put_place(header, geometry);
    header.put_text(344, "n+1", 4);
    return header.bytes();
}

}  // namespace

std::string nifti_bytes(const VolumeGeometry& geometry, const VoxelBytes& voxels, double slope, std::string_view description) {
    const auto at = [](int value) { return static_cast<std::size_t>(value); };
    const std::size_t row = at(geometry.size()[0]), slice = row * at(geometry.size()[1]), all = slice * at(geometry.size()[2]);
    Gzip file;
    file.add(header_of(geometry, slope, description));
    std::size_t written = 0;
    for (int z = 0; z < voxels.size[2]; ++z) {
        // The box's rows of one slice, whole, are one piece.
        std::string rows(row * at(voxels.size[1]), '\0');
        for (std::size_t y = 0; y < at(voxels.size[1]); ++y) {
            const auto from = voxels.value.begin() + static_cast<std::ptrdiff_t>((at(z) * at(voxels.size[1]) + y) * at(voxels.size[0]));
            std::copy_n(from, voxels.size[0], rows.begin() + static_cast<std::ptrdiff_t>(y * row + at(voxels.first[0])));
        }
        const std::size_t begin = at(voxels.first[2] + z) * slice + at(voxels.first[1]) * row;
        file.add_zeros(begin - written);
        file.add(rows);
        written = begin + rows.size();
    }
    file.add_zeros(all - written);
    return std::move(file).finish();
}

}  // namespace perisclera::masks
