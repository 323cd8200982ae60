// SPDX-License-Identifier: Apache-2.0
#pragma once
// What the page brings along, as text: the files of src/report/page and the WebGL library, put in at build time.
#include <string_view>

namespace perisclera::report::page {

std::string_view style();
std::string_view clock_script();     ///< picking a clock hour on the map
std::string_view slice_script();     ///< leafing through slices
std::string_view scene_script();     ///< turning the eye in space; needs library_script()
std::string_view library_script();   ///< regl, unchanged
std::string_view library_licence();

}  // namespace perisclera::report::page
