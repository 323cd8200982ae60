// SPDX-License-Identifier: Apache-2.0
// A hydrogel at two dates, simulated. In the one patient it grows as its water says (own calculation, polymer conserved: from 30 to 70 % water a volume 1.26 and 3.2 times that as
// sold, CT numbers 121 and 54 HU at 70 keV); in the other it grows as much and keeps its water, which no swelling does. And of its section as sewn on: what water its growth would mean.
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <string>

#include <gtest/gtest.h>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/dicom/output_folder.h"
#include "perisclera/pipeline/identify.h"
#include "perisclera/report/wording.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"

namespace perisclera {

namespace {

constexpr double width = 6.0, thickness = 4.0;   // at the first visit, mm

std::string element(double grown, const std::string& water) {
    return R"({"material": "hydrogel", "form": "segmental", "section": "rectangle", "from_hour": 1.0, "to_hour": 4.0, "limbus_mm": 12.0, "width_mm": )" + std::to_string(width * grown) +
           R"(, "thickness_mm": )" + std::to_string(thickness * grown) + R"(, "indentation_mm": 1.0, "water_fraction": )" + water + "}";
}

/// Of two visits, the second of an element 1.36 times as wide and thick: along the eye it cannot grow.
report::ReportModel identified(const std::string& name, const std::string& later_water, const OperationRecord& record) {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / ("perisclera_" + name + std::to_string(::getpid()));
    const std::string series = R"("series": [{"kind": "ct", "spacing_mm": 0.5, "slice_thickness_mm": 1.0}])";
    const auto scenario = phantoms::parse_scenario(R"({"seed": 31, "patient": {"id": "SIM-WATER", "birth_year": 1950}, "timepoints": [
        {"study_date": "2008-05-02", "eyes": {"left": {"elements": [)" + element(1.0, "0.3") + "]}}, " + series + R"(},
        {"study_date": "2016-05-02", "eyes": {"left": {"elements": [)" + element(1.36, later_water) + "]}}, " + series + "}]}");
    if (!scenario) throw std::runtime_error(scenario.error().what);
    auto out = OutputFolder::open(folder, true);
    if (!out || !phantoms::synthesise(scenario.value(), out.value(), {}, 2) || !out.value().commit()) throw std::runtime_error("not synthesised");
    LoadOptions load;
    load.threads = 2;
    const auto patient = read_patient({folder}, load);
    if (!patient) throw std::runtime_error(patient.error().what);
    IdentifyOptions options;
    options.threads = 2;
    options.record = {record, record};
    report::ReportModel model = identify(patient.value(), options, {}).value();
    std::filesystem::remove_all(folder);
    return model;
}

const report::ElementEntry& last_element(const report::ReportModel& model) {
    const auto& elements = model.timepoints.back().left.elements;
    if (elements.size() != 1) throw std::runtime_error("the element was not found as one");
    return elements.front();
}

}  // namespace

TEST(WaterAcrossVisits, growth_that_keeps_its_ct_number_is_told_and_swelling_is_not) {
    OperationRecord record;
    record.section = OriginalSection{Mm(width), Mm(thickness)};
    const report::ReportModel swollen = identified("swollen", "0.7", record), kept = identified("kept", "0.3", record);
    for (const report::ReportModel* model : {&swollen, &kept}) {
        ASSERT_EQ(model->changes.size(), 1U);
        EXPECT_EQ(model->changes.front().verdict, report::Verdict::enlarged);
        EXPECT_FALSE(model->timepoints.front().left.elements.front().material.growth_without_water);
    }
    EXPECT_FALSE(last_element(swollen).material.growth_without_water);
    EXPECT_TRUE(last_element(kept).material.growth_without_water);
    const report::EyeFinding told = report::finding(kept, Eye::left);
    EXPECT_EQ(std::count_if(told.elements.front().sentences.begin(), told.elements.front().sentences.end(), [](const std::string& s) { return s.find("calcification") != std::string::npos; }), 1);

    // Its section now against that told: 1.36 times on each side is 2.5 times the volume, were it to swell alike in all directions: 61 % water (reference 1.13 between 50 and 70 %).
    const auto* water = last_element(swollen).material.water_by_swelling.measured();
    ASSERT_NE(water, nullptr);
    EXPECT_LE(water->low().value(), 0.61);
    EXPECT_GE(water->high().value(), 0.61);
}

}  // namespace perisclera
