// SPDX-License-Identifier: Apache-2.0
// Any text as a scenario. What is accepted holds numbers that can be drawn, and is accepted a second time.
#include <cmath>
#include <string_view>

#include "phantoms/scenario.h"
#include "tests/fuzz/require.h"

using namespace perisclera;
using fuzz::require;

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto first = phantoms::parse_scenario(text), second = phantoms::parse_scenario(text);
    require(first.ok() == second.ok(), "a second reading comes to the same");
    if (!first) {
        require(first.error().code == ErrorCode::bad_scenario && one_line(first.error()) == one_line(second.error()), "refused as a scenario, with the same words");
        for (const char c : one_line(first.error())) require(static_cast<unsigned char>(c) >= 0x20 && c != 0x7F, "the line holds no control character");
        return 0;
    }
    for (const auto& point : first.value().timepoints) {
        require(!point.series.empty(), "a date has series");
        for (const auto& series : point.series)
            for (const double mm : {series.spacing_mm, series.slice_thickness_mm, series.slice_spacing_mm, series.field_mm[0], series.field_mm[1], series.field_mm[2]})
                require(std::isfinite(mm) && mm > 0.0, "lengths are positive");
    }
    return 0;
}
