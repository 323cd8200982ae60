// SPDX-License-Identifier: Apache-2.0
#include "tests/support/small_phantom.h"

#include <stdexcept>

#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace fs = std::filesystem;

const fs::path& small_phantom() {
    static TestFolder folder;
    static const fs::path made = [] {
        write_bytes(folder.path() / "scenario.json", R"({"seed": 1, "patient": {"id": "SIM-SMALL", "birth_year": 1950},
            "eyes": {"right": {"elements": [{"material": "solid_silicone", "form": "segmental", "from_hour": 10, "to_hour": 2, "limbus_mm": 12, "width_mm": 7, "thickness_mm": 3}]}},
            "timepoints": [{"study_date": "2020-01-31", "series": [{"kind": "ct", "spacing_mm": 0.7, "slice_thickness_mm": 1.5, "field_mm": [110, 55, 42]}]}]})");
        const Ended ended = run_child({PERISCLERA_PROGRAM, "phantom", (folder.path() / "scenario.json").string(), "--out", (folder.path() / "phantom").string(), "--quiet"});
        if (ended.status != 0) throw std::runtime_error("no phantom: " + ended.error_text);
        fs::remove(folder.path() / "phantom" / "truth.json");
        return folder.path() / "phantom";
    }();
    return made;
}

}  // namespace perisclera::test
