// SPDX-License-Identifier: Apache-2.0
// Ten scenarios and two as files, every series of each: most of the scenarios shipped, made small, and two that add what those leave out.
// Expected: dciodvfy and dcentvfy have nothing to object; GDCM, pydicom and this project's reader agree on every image's place and pixels; and the
// places are those of the scenario by the closed forms written beside the checks.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "perisclera/dicom/output_folder.h"
#include "phantoms/scenario.h"
#include "phantoms/synthesise.h"
#include "tests/phantoms/series_readers.h"
#include "tests/support/child_process.h"
#include "tests/support/test_folder.h"

namespace perisclera::phantoms {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

/// A decimal string of 16 characters tells a position in millimetres at least this well; of many slices the stack is one straight line through the ends.
constexpr double decimals = 1e-6;

const std::string every_sequence = R"({"seed": 41, "patient": {"id": "SIM-SEQUENCES", "birth_year": 1962}, "anatomy": {"right": "myopic", "left": "staphyloma"},
    "eyes": {"left": {"elements": [{"material": "hydrogel", "form": "segmental", "from_hour": 1, "to_hour": 3, "limbus_mm": 12, "width_mm": 4, "thickness_mm": 3,
                                    "water_fraction": 0.9}]}},
    "timepoints": [{"study_date": "2019-03-07", "series": [
        {"kind": "t1", "plane": "sagittal"}, {"kind": "t1_fatsat", "plane": "coronal"}, {"kind": "t1_contrast", "tilt_deg": [20, 0]},
        {"kind": "t1_contrast_fatsat", "plane": "coronal", "tilt_deg": [-12, 9]}, {"kind": "t1_gradient_echo"}, {"kind": "t1_prepared", "plane": "sagittal"},
        {"kind": "pd", "plane": "coronal", "zero_filling": 2}, {"kind": "t2", "plane": "sagittal", "tilt_deg": [0, -35], "eye_motion_mm": 0.5},
        {"kind": "t2_fatsat", "phase_along": "column"}, {"kind": "t2_star"}, {"kind": "stir", "slice_thickness_mm": 3, "slice_spacing_mm": 4.5},
        {"kind": "flair", "field_strength_tesla": 3, "pose_deg": [4, -3, 6]}]}]})";

const std::string every_ct = R"({"seed": 42, "patient": {"id": "SIM-TUBES", "birth_year": 1938}, "anatomy": {"seed": 7},
    "eyes": {"right": {"contents": "silicone_oil", "lens": "implant", "elements": [
        {"material": "tantalum", "form": "segmental", "from_hour": 4, "to_hour": 4.3, "limbus_mm": 11.5, "width_mm": 3, "thickness_mm": 0.5},
        {"material": "solid_silicone", "form": "encircling", "limbus_mm": 11.5, "width_mm": 2.5, "thickness_mm": 0.75}]}},
    "timepoints": [{"study_date": "2011-12-24", "series": [
        {"kind": "ct", "gantry_tilt_deg": 18.5}, {"kind": "ct", "gantry_tilt_deg": -16.5, "kernel": "bone", "scale": "extended"},
        {"kind": "ct", "plane": "coronal", "kernel": "edge", "kvp": 80}, {"kind": "ct", "plane": "sagittal", "beam_hardening": 0.5, "motion_mm": [0.4, 0.3]},
        {"kind": "ct", "tilt_deg": [25, 10], "kvp": 140, "slice_spacing_mm": 2}]}]})";

std::map<std::string, json> ten_scenarios() {
    std::map<std::string, json> all{{"every_sequence", json::parse(every_sequence)}, {"every_ct", json::parse(every_ct)}};
    const fs::path folder = fs::path(PERISCLERA_SOURCE_DIR) / "phantoms";
    all["demo"] = json::parse(std::ifstream(folder / "demo_scenario.json"));
    for (const auto& entry : fs::directory_iterator(folder / "scenarios")) all[entry.path().stem().string()] = json::parse(std::ifstream(entry.path()));
    // Of the look-alikes two scenarios: what stands round the globe is slow to draw and makes no other files.
    for (const char* slow : {"beside_the_globe", "metal_and_plates", "orbit_disease"}) EXPECT_EQ(all.erase(slow), 1u);
    // Small: a slab through both eyes in coarse pixels. What is compared does not depend on them.
    for (auto& [name, scenario] : all)
        for (json& point : scenario["timepoints"])
            for (json& series : point["series"]) {
                series["field_mm"] = {72, 24, 20};
                series["spacing_mm"] = series["kind"] == "ct" ? 0.75 : 1.0;
                if (!series.contains("slice_thickness_mm")) series["slice_thickness_mm"] = 4;
            }
    return all;
}

std::vector<std::string> names() {
    std::vector<std::string> all;
    for (const auto& [name, scenario] : ten_scenarios()) all.push_back(name);
    return all;
}

Scenario parsed(const json& scenario) {
    auto result = parse_scenario(scenario.dump());
    EXPECT_TRUE(result) << result.error().what;
    return std::move(result).value();
}

using Triple = std::array<double, 3>;
double dot(const Triple& a, const Triple& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
Triple along(const Triple& from, const Triple& to) { return {to[0] - from[0], to[1] - from[1], to[2] - from[2]}; }

Triple normal_of(const test::ReadSlice& s) {
    const auto& o = s.orientation;
    return {o[1] * o[5] - o[2] * o[4], o[2] * o[3] - o[0] * o[5], o[0] * o[4] - o[1] * o[3]};
}

/// Turned about its row and then its column, a plane leans from where it was by arccos(cos a cos b); it covers its field to half a pixel.
void expect_places_of(const Series& series, const std::vector<test::ReadSlice>& slices) {
    constexpr double degree = 3.14159265358979323846 / 180.0;
    const std::map<Plane, std::array<std::size_t, 3>> axes{{Plane::axial, {0, 1, 2}}, {Plane::coronal, {0, 2, 1}}, {Plane::sagittal, {1, 2, 0}}};
    const auto [columns, rows, across] = axes.at(series.plane);
    Triple upright{0, 0, 0};
    upright[across] = series.plane == Plane::sagittal ? -1.0 : 1.0;  // row x column of the planes as they are usually shown
    const Triple normal = normal_of(slices.front());
    EXPECT_NEAR(dot(normal, upright), std::cos((series.tilt_deg[0] + series.gantry_tilt_deg) * degree) * std::cos(series.tilt_deg[1] * degree), decimals);
    EXPECT_NEAR(slices.front().columns * series.spacing_mm, series.field_mm[columns], series.spacing_mm / 2);
    EXPECT_NEAR(slices.front().rows * series.spacing_mm, series.field_mm[rows], series.spacing_mm / 2);
    EXPECT_NEAR(static_cast<double>(slices.size()) * series.slice_spacing_mm, series.field_mm[across], series.slice_spacing_mm / 2);
    EXPECT_EQ(slices.front().spacing, (std::array<double, 2>{series.spacing_mm, series.spacing_mm}));
    for (std::size_t k = 1; k < slices.size(); ++k) {
        const Triple step = along(slices[k - 1].position, slices[k].position);
        EXPECT_NEAR(dot(step, normal), series.slice_spacing_mm, 2 * decimals);
        const double shear = series.gantry_tilt_deg == 0.0 ? 1.0 : std::cos(series.gantry_tilt_deg * degree);
        EXPECT_NEAR(std::sqrt(dot(step, step)), series.slice_spacing_mm / shear, 2 * decimals);
    }
}

void expect_equal(const std::vector<test::ReadSlice>& some, const std::vector<test::ReadSlice>& others, const std::string& reader, double tolerance) {
    ASSERT_EQ(some.size(), others.size()) << reader;
    for (std::size_t k = 0; k < some.size(); ++k) {
        const test::ReadSlice &a = some[k], &b = others[k];
        ASSERT_EQ(a.name, b.name) << reader;
        for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(a.position[i], b.position[i], tolerance) << reader << ", " << a.name;
        for (std::size_t i = 0; i < 6; ++i) EXPECT_NEAR(a.orientation[i], b.orientation[i], tolerance) << reader << ", " << a.name;
        for (std::size_t i = 0; i < 2; ++i) EXPECT_NEAR(a.spacing[i], b.spacing[i], tolerance) << reader << ", " << a.name;
        ASSERT_EQ(a.rows, b.rows) << reader;
        ASSERT_EQ(a.columns, b.columns) << reader;
        EXPECT_EQ(a.values.size(), static_cast<std::size_t>(a.rows * a.columns));
        EXPECT_TRUE(a.values == b.values) << reader << " reads other pixels of " << a.name;
    }
}

/// Lines in which a validator of dicom3tools says "Error".
std::string errors_of(std::vector<std::string> command) {
    command.front() = "/usr/bin/" + command.front();
    const test::Ended ended = test::run_child(command);
    EXPECT_NE(ended.status, 127) << command.front() << " is missing (.ci/packages.sh)";
    std::istringstream lines(ended.error_text + ended.output_text);
    std::string errors, line;
    while (std::getline(lines, line))
        if (line.find("Error") != std::string::npos) errors += line + '\n';
    return errors;
}

class TenScenarios : public ::testing::TestWithParam<std::string> {};

TEST_P(TenScenarios, every_series_is_valid_and_read_alike_by_gdcm_pydicom_and_our_own_reader) {
    const test::TestFolder folder;
    const Scenario scenario = parsed(ten_scenarios().at(GetParam()));
    auto out = OutputFolder::open(folder.path() / "out", false);
    ASSERT_TRUE(out && synthesise(scenario, out.value(), {}, 1) && out.value().commit());
    const auto by_pydicom = test::all_by_pydicom(folder.path());
    std::vector<std::string> files{"dcentvfy"};
    for (const Timepoint& point : scenario.timepoints)
        for (std::size_t n = 0; n < point.series.size(); ++n) {
            std::string date = point.study_date;
            std::erase(date, '-');
            const fs::path series = folder.path() / "out" / date / ((n < 9 ? "0" : "") + std::to_string(n + 1));
            SCOPED_TRACE(date + ", series " + std::to_string(n + 1) + ", " + std::string(name(point.series[n].kind)));
            const auto slices = test::series_by_gdcm(series);
            ASSERT_GE(slices.size(), 3u);
            EXPECT_GT(std::set<double>(slices[1].values.begin(), slices[1].values.end()).size(), 100u) << "an image is not all of one value";
            expect_places_of(point.series[n], slices);
            expect_equal(slices, by_pydicom.at(series), "pydicom", 0.0);
            expect_equal(slices, test::series_by_perisclera(series), "our own reader", 2 * decimals);
            for (const test::ReadSlice& slice : slices) files.push_back((series / slice.name).string());
            for (const std::string& name : {slices.front().name, slices.back().name}) EXPECT_EQ(errors_of({"dciodvfy", "-new", (series / name).string()}), "") << name;
        }
    EXPECT_EQ(errors_of(files), "") << "the images do not form the studies and series they say";
}

INSTANTIATE_TEST_SUITE_P(scenarios, TenScenarios, ::testing::ValuesIn(names()), [](const auto& of) { return of.param; });

TEST(TenScenariosTogether, have_every_kind_and_plane_oblique_planes_a_tilted_gantry_drawn_anatomy_and_every_content_of_a_globe) {
    std::set<Kind> kinds;
    std::set<Plane> planes;
    std::set<LookAlikeKind> look_alikes;
    std::set<Contents> contents;
    int oblique = 0, leaning = 0, drawn = 0;
    for (const auto& [name, text] : ten_scenarios()) {
        const Scenario scenario = parsed(text);
        for (const Timepoint& point : scenario.timepoints) {
            drawn += point.eyes[0].anatomy.sclera.has_value();
            for (const EyeState& eye : point.eyes) {
                contents.insert(eye.contents);
                for (const LookAlike& one : eye.look_alikes) look_alikes.insert(one.kind);
            }
            for (const Series& series : point.series) {
                kinds.insert(series.kind);
                planes.insert(series.plane);
                oblique += series.tilt_deg[0] != 0.0 && series.tilt_deg[1] != 0.0;
                leaning += series.gantry_tilt_deg != 0.0;
            }
        }
    }
    EXPECT_GE(ten_scenarios().size(), 10u);
    EXPECT_EQ(kinds.size(), static_cast<std::size_t>(Kind::flair) + 1) << "flair is the last of the kinds";
    EXPECT_EQ(planes.size(), 3u);
    EXPECT_EQ(look_alikes, (std::set{LookAlikeKind::perfluorocarbon_drop, LookAlikeKind::orbital_sphere, LookAlikeKind::empty_socket}));
    EXPECT_EQ(contents.size(), static_cast<std::size_t>(Contents::haemorrhage) + 1) << "haemorrhage is the last of the contents";
    EXPECT_GE(oblique, 2);
    EXPECT_GE(leaning, 2);
    EXPECT_GE(drawn, 2);
}

}  // namespace
}  // namespace perisclera::phantoms
