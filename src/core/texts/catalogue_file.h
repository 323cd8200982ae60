// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string_view>

namespace perisclera::texts {

std::string_view catalogue_file();  ///< english.txt as it stands in this folder, put in at build time

}  // namespace perisclera::texts
