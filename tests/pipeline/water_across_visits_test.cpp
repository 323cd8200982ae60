// SPDX-License-Identifier: Apache-2.0
// A hydrogel at two dates, simulated, that grows and keeps its water, which no swelling does (that growth as its water says is not told: tests/material/hydrogel_swelling_test.cpp). And of its
// section as sewn on: what water its growth would mean.
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

constexpr double width = 6.0, thickness = 4.0, grown = 1.6;   // at the first visit, mm; and how many times that at the second

std::string element(double times, const std::string& limbus_mm) {
    return R"({"material": "hydrogel", "form": "segmental", "section": "rectangle", "from_hour": 1.0, "to_hour": 4.0, "limbus_mm": )" + limbus_mm + R"(, "width_mm": )" + std::to_string(width * times) +
           R"(, "thickness_mm": )" + std::to_string(thickness * times) + R"(, "indentation_mm": 1.0, "water_fraction": 0.3})";
}

/// Of two visits, the second of an element as much wider and thicker: along the eye it cannot grow.
report::ReportModel identified(const OperationRecord& record) {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / ("perisclera_water_" + std::to_string(::getpid()));
    const std::string series = R"("series": [{"kind": "ct", "spacing_mm": 0.5, "slice_thickness_mm": 1.0}])";
    const auto scenario = phantoms::parse_scenario(R"({"seed": 31, "patient": {"id": "SIM-WATER", "birth_year": 1950}, "timepoints": [
        {"study_date": "2008-05-02", "eyes": {"left": {"elements": [)" + element(1.0, "12.0") + "]}}, " + series + R"(},
        {"study_date": "2016-05-02", "eyes": {"left": {"elements": [)" + element(grown, "11.0") + "]}}, " + series + "}]}");
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

TEST(WaterAcrossVisits, growth_that_keeps_its_ct_number_is_told) {
    OperationRecord record;
    record.section = OriginalSection{Mm(width), Mm(thickness)};
    const report::ReportModel model = identified(record);
    ASSERT_EQ(model.changes.size(), 1U);
    EXPECT_EQ(model.changes.front().verdict, report::Verdict::enlarged);
    EXPECT_FALSE(model.timepoints.front().left.elements.front().material.growth_without_water);
    EXPECT_TRUE(last_element(model).material.growth_without_water);
    const report::EyeFinding told = report::finding(model, Eye::left);
    EXPECT_EQ(std::count_if(told.elements.front().sentences.begin(), told.elements.front().sentences.end(), [](const std::string& s) { return s.find("calcification") != std::string::npos; }), 1);

    // Its section now against that told: 1.6 times on each side is 4.1 times the volume, were it to swell alike in all directions: 76 % water (reference 1.13: 3.2 times at 70 %, 4.9 at 80 %).
    const auto* water = last_element(model).material.water_by_swelling.measured();
    ASSERT_NE(water, nullptr);
    EXPECT_LE(water->low().value(), 0.76);
    EXPECT_GE(water->high().value(), 0.76);
    EXPECT_GT(water->low().value(), 0.35) << "not as sold";
}

}  // namespace perisclera
