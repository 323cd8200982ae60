// SPDX-License-Identifier: Apache-2.0
#include "perisclera/assemble/content_digest.h"

#include <cmath>

#include "perisclera/core/sha256.h"

namespace perisclera {

std::string content_digest(const VoxelGrid& grid) {
    const VolumeGeometry& g = grid.geometry();
    Sha256 sha;
    // To the thousandth: what headers state so is the same number however it is written.
    const auto add_number = [&](double value) { sha.add(std::to_string(std::llround(value * 1000.0))).add(" "); };
    for (const int count : g.size()) add_number(count);
    const PatientPoint origin = g.origin();
    for (const PatientVector v : {PatientVector{origin.x, origin.y, origin.z}, g.row() * g.spacing_mm()[0], g.column() * g.spacing_mm()[1], g.slice_step()})
        for (const double part : {v.x, v.y, v.z}) add_number(part);
    const auto& values = grid.values();
    sha.add({reinterpret_cast<const unsigned char*>(values.data()), values.size() * sizeof(float)});
    return "sha256:" + hexadecimal(sha.digest());
}

}  // namespace perisclera
