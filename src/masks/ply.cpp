// SPDX-License-Identifier: Apache-2.0
// The layout is that of the PLY polygon file format (Stanford University, 1994), with the types' names that all readers know. VTK 9.1's own writer writes to files only: what it
// was asked to write to a string stays empty.
#include <bit>

#include "perisclera/masks/surface.h"

namespace perisclera::masks {

namespace {

void put_four_bytes(std::string& file, std::uint32_t value) {
    for (int k = 0; k < 4; ++k) file += static_cast<char>((value >> (8 * k)) & 0xFFu);
}

}  // namespace

std::string ply_bytes(const Surface& surface, std::string_view comment) {
    std::string file = "ply\nformat binary_little_endian 1.0\ncomment " + std::string(comment) + "\nelement vertex " + std::to_string(surface.corners.size()) +
                       "\nproperty float x\nproperty float y\nproperty float z\nelement face " + std::to_string(surface.triangles.size()) +
                       "\nproperty list uchar int vertex_indices\nend_header\n";
    for (const PatientPoint& p : surface.corners)
        for (const double coordinate : {p.x, p.y, p.z}) put_four_bytes(file, std::bit_cast<std::uint32_t>(static_cast<float>(coordinate)));
    for (const auto& triangle : surface.triangles) {
        file += static_cast<char>(triangle.size());
        for (const std::uint32_t corner : triangle) put_four_bytes(file, corner);
    }
    return file;
}

}  // namespace perisclera::masks
