// SPDX-License-Identifier: Apache-2.0
// One patient scanned straight and with the gantry tilted to both sides: slices that shear give the same explant. Expected: what the straight
// scan gave, and the truth that the phantom was drawn from (its volume is an integral over the shape, clock hours as in the scenario).
#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>

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

constexpr double from_hour = 7.5, to_hour = 11.5;
// Below the 4.3 % by which 1 / cos 16.5 degrees would enlarge a volume if the table's step were taken for the distance of the planes.
constexpr double same_volume = 0.04;
constexpr double same_place_mm = 0.6;  // a pixel

struct Scanned {
    report::EyeEntry eye;
    std::string problems;
    double true_volume_mm3;
};

Scanned scan(double tilt_deg) {
    const auto folder = std::filesystem::temp_directory_path() / ("perisclera_tilt_" + std::to_string(::getpid()));
    const auto scenario = phantoms::parse_scenario(R"({
        "seed": 12, "patient": {"id": "SIM-TILT", "birth_year": 1950},
        "eyes": {"right": {"elements": [{"material": "solid_silicone", "form": "segmental", "from_hour": 7.5, "to_hour": 11.5, "limbus_mm": 12.5,
                                         "width_mm": 7.0, "thickness_mm": 3.0, "indentation_mm": 1.0}]},
                 "left": {"elements": []}},
        "timepoints": [{"study_date": "2018-05-02", "series": [
            {"kind": "ct", "spacing_mm": 0.6, "slice_thickness_mm": 1.5, "field_mm": [120, 64, 50], "gantry_tilt_deg": )" + std::to_string(tilt_deg) + "}]}]}");
    EXPECT_TRUE(scenario.ok());
    auto out = OutputFolder::open(folder, true);
    EXPECT_TRUE(out.ok() && phantoms::synthesise(scenario.value(), out.value(), {}, 2).ok() && out.value().commit().ok());
    std::ifstream truth_file(folder / "truth.json");
    const auto truth = nlohmann::json::parse(truth_file);
    LoadOptions load;
    load.threads = 2;
    const auto patient = read_patient({folder}, load);
    std::filesystem::remove_all(folder);
    EXPECT_TRUE(patient.ok());
    const report::ReportModel model = identify(patient.value(), {}, {}).value();
    Scanned scanned{model.timepoints.front().right, {}, truth["timepoints"][0]["elements"][0]["volume_mm3"].get<double>()};
    for (const std::string& problem : model.timepoints.front().series.front().problems) scanned.problems += problem + "\n";
    return scanned;
}

/// Is the value within the 95 % interval? Clock hours are met in the turn that lies nearest.
template <class Quantity>
bool holds(const Measurement<Quantity>& measurement, double value, double turn = 1e9) {
    const Measured<Quantity>* m = measurement.measured();
    if (m == nullptr) return false;
    const double middle = m->value().value(), nearest = middle + std::remainder(value - middle, turn);
    return m->low().value() <= nearest && nearest <= m->high().value();
}

template <class Quantity>
double value_of(const Measurement<Quantity>& measurement) {
    return measurement.measured() == nullptr ? std::nan("") : measurement.measured()->value().value();
}

void expect_truth(const report::ElementEntry& element, double volume_mm3, const char* name) {
    EXPECT_TRUE(holds(element.volume, volume_mm3)) << name << ": " << value_of(element.volume) << " mm3, true " << volume_mm3;
    EXPECT_TRUE(holds(element.from, from_hour, 12.0)) << name << ": from " << value_of(element.from);
    EXPECT_TRUE(holds(element.to, to_hour, 12.0)) << name << ": to " << value_of(element.to);
}

}  // namespace

TEST(TiltedGantry, gives_the_volume_and_the_clock_hours_of_the_straight_scan) {
    const Scanned straight = scan(0.0);
    EXPECT_EQ(straight.problems.find("tilted"), std::string::npos) << straight.problems;
    ASSERT_EQ(straight.eye.elements.size(), 1U);
    const report::ElementEntry& expected = straight.eye.elements.front();
    expect_truth(expected, straight.true_volume_mm3, "straight");
    for (const double tilt : {18.5, -16.5}) {
        SCOPED_TRACE(tilt);
        const Scanned tilted = scan(tilt);
        EXPECT_NE(tilted.problems.find(tilt > 0 ? "tilted by 18.50 degrees" : "tilted by 16.50 degrees"), std::string::npos) << tilted.problems;
        ASSERT_EQ(tilted.eye.elements.size(), 1U);
        const report::ElementEntry& found = tilted.eye.elements.front();
        expect_truth(found, straight.true_volume_mm3, "tilted");
        RecordProperty("volume_ratio_at_" + std::to_string(tilt), std::to_string(value_of(found.volume) / value_of(expected.volume)));
        EXPECT_EQ(found.material.label, expected.material.label);
        EXPECT_TRUE(holds(expected.volume, value_of(found.volume))) << value_of(found.volume) << " mm3, straight " << value_of(expected.volume);
        EXPECT_NEAR(value_of(found.volume), value_of(expected.volume), same_volume * value_of(expected.volume));
        EXPECT_LT(length(tilted.eye.globe.place.value().centre - straight.eye.globe.place.value().centre), same_place_mm);
        EXPECT_TRUE(holds(expected.from, value_of(found.from), 12.0)) << "from " << value_of(found.from) << ", straight " << value_of(expected.from);
        EXPECT_TRUE(holds(expected.to, value_of(found.to), 12.0)) << "to " << value_of(found.to) << ", straight " << value_of(expected.to);
    }
}

}  // namespace perisclera
