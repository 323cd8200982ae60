// SPDX-License-Identifier: Apache-2.0
#pragma once
// The rows of src/physics/table/materials.json, which is built into the program. A row that is asked for and missing ends the program; the tests of tables and judgement ask for all.
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "perisclera/physics/material_table.h"

namespace perisclera {

/// The file as text.
std::string_view materials_file();

/// Mean and spread of the row.
Expected row(std::string_view id);

/// Points of (argument, value), by argument.
using Curve = std::vector<std::array<double, 2>>;
const Curve& curve(std::string_view id);
/// Linear between the points, constant beyond their ends.
double interpolated(const Curve& curve, double argument);

std::string_view table_version();

}  // namespace perisclera
