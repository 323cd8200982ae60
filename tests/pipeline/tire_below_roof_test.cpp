// SPDX-License-Identifier: Apache-2.0
// A tire a millimetre below the roof of the orbit, on thin slices: the gap shows, so none of the tire is bone's blur. Expected: what the phantom was drawn from (its volume is an
// integral over the shape, clock hours as in the scenario).
#include <filesystem>
#include <fstream>

#include <unistd.h>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/dicom/output_folder.h"
#include "perisclera/pipeline/identify.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"

namespace perisclera {

namespace {

/// The anatomy's seed is one with little room above the globe.
constexpr const char* scenario_text = R"({
    "seed": 85, "patient": {"id": "SIM-ROOF", "birth_year": 1950}, "anatomy": {"seed": 734462705, "right": "usual", "left": "usual"},
    "eyes": {"right": {}, "left": {"elements": [{"material": "solid_silicone", "form": "segmental", "width_mm": 9.2, "thickness_mm": 2.75, "limbus_mm": 13.7, "indentation_mm": 0.6,
                                                 "from_hour": 8.7, "to_hour": 0.8, "hu_at_120_kvp": 214}]}},
    "timepoints": [{"study_date": "2020-03-01", "series": [{"kind": "ct", "pose_deg": [0.3, -9.1, -1.1], "shift_mm": [5.6, -7.0, -7.9],
        "gaze_deg": {"right": [-5.5, 3.8], "left": [-5.5, 3.8]}, "spacing_mm": 0.45, "slice_thickness_mm": 1.0, "kvp": 100, "noise": 8}]}]})";

}  // namespace

TEST(TireBelowRoof, is_told_whole) {
    const auto folder = std::filesystem::temp_directory_path() / ("perisclera_roof_" + std::to_string(::getpid()));
    const auto scenario = phantoms::parse_scenario(scenario_text);
    ASSERT_TRUE(scenario.ok());
    auto out = OutputFolder::open(folder, true);
    ASSERT_TRUE(out.ok() && phantoms::synthesise(scenario.value(), out.value(), {}, 2).ok() && out.value().commit().ok());
    std::ifstream truth_file(folder / "truth.json");
    const double truth = nlohmann::json::parse(truth_file)["timepoints"][0]["elements"][0]["volume_mm3"];
    LoadOptions load;
    load.threads = 2;
    const auto patient = read_patient({folder}, load);
    std::filesystem::remove_all(folder);
    ASSERT_TRUE(patient.ok());
    const report::ReportModel model = identify(patient.value(), {}, {}).value();
    const auto& elements = model.timepoints.front().left.elements;
    ASSERT_EQ(elements.size(), 1U);
    const auto* volume = elements.front().volume.measured();
    ASSERT_NE(volume, nullptr);
    EXPECT_LE(volume->low().value(), truth);
    EXPECT_GE(volume->high().value(), truth);
    constexpr double end_of_tire_h = 0.8, bound_h = 0.4;   // asked of the program as a whole
    const auto* to = elements.front().to.measured();
    ASSERT_NE(to, nullptr);
    EXPECT_NEAR(to->value().value(), end_of_tire_h, bound_h);
}

}  // namespace perisclera
