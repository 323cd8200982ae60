// SPDX-License-Identifier: Apache-2.0
// Elements put into the anatomy of a real head, with exact truth (source: the truth files beside the data, made outside this
// project's code), as they are, mirrored, moved and with more noise: presence in every eye, no element elsewhere, the material,
// and the volume. Skipped where the data are absent.
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/pipeline/identify.h"
#include "tests/support/changed_patient.h"
#include "tests/support/test_data.h"

namespace perisclera {

namespace {

using nlohmann::json;
using test::ImageChange;

constexpr double volume_tolerance = 0.25;   // the bound asked of a first version

struct Run {
    const char* name;
    ImageChange change;
};

std::ostream& operator<<(std::ostream& out, const Run& run) { return out << run.name; }

class ComposedCase : public ::testing::TestWithParam<std::tuple<const char*, Run>> {};

std::string words(const report::EyeEntry& eye) {
    std::string text(report::name(eye.explant.presence));
    for (const report::ElementEntry& e : eye.elements) {
        const auto* volume = e.volume.measured();
        text += " " + e.id + " " + (e.material.label ? std::string(report::name(*e.material.label)) : "undetermined") + " " +
                (volume ? std::to_string(static_cast<int>(std::lround(volume->value().value()))) + " mm3" : "unmeasured");
    }
    return text;
}

}  // namespace

TEST_P(ComposedCase, is_identified_in_every_eye_at_every_date) {
    const auto [name, run] = GetParam();
    const std::filesystem::path folder = test::shared_data() / "cases";
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    ASSERT_TRUE(std::filesystem::exists(folder)) << folder;
    std::ifstream file(folder / (std::string(name) + ".truth.json"));
    ASSERT_TRUE(file) << name;
    const json truth = json::parse(file);
    const auto patient = read_patient({folder / name}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    IdentifyOptions options;
    options.threads = 2;
    const report::ReportModel model = identify(test::changed(patient.value(), run.change), options, {}).value();

    ASSERT_EQ(model.timepoints.size(), truth["timepoints"].size());
    for (std::size_t t = 0; t < model.timepoints.size(); ++t) {
        const report::Timepoint& said = model.timepoints[t];
        const json& elements = truth["timepoints"][t]["elements"];
        std::cout << name << ", " << run.name << ", " << said.study_date.iso() << ": right " << words(said.right) << "; left " << words(said.left) << '\n';
        for (const Eye eye : both_eyes) {
            const report::EyeEntry& entry = said.eye(eye);
            using report::GlobeContents, report::Lens;
            EXPECT_TRUE(entry.globe.contents == GlobeContents::vitreous || entry.globe.contents == GlobeContents::undetermined) << entry.globe.contents_why;
            EXPECT_TRUE(entry.globe.lens == Lens::natural || entry.globe.lens == Lens::undetermined) << entry.globe.lens_why;
            const bool operated = !elements.empty() && (truth["side"] == std::string(perisclera::name(eye))) != run.change.mirrored;
            if (!operated) {
                EXPECT_NE(entry.explant.presence, report::Presence::present);
                EXPECT_TRUE(entry.elements.empty());
                continue;
            }
            EXPECT_EQ(entry.explant.presence, report::Presence::present);
            ASSERT_EQ(entry.elements.size(), 1U);
            const report::ElementEntry& element = entry.elements.front();
            ASSERT_TRUE(element.material.label.has_value());
            EXPECT_EQ(std::string(report::name(*element.material.label)), truth["material"].get<std::string>());
            const double expected = elements[0]["volume_mm3"];
            ASSERT_TRUE(element.volume.has_value());
            EXPECT_NEAR(element.volume.measured()->value().value(), expected, volume_tolerance * expected);
        }
    }
    if (model.timepoints.size() > 1) {
        ASSERT_EQ(model.changes.size(), 1U);
        EXPECT_EQ(model.changes.front().verdict, report::Verdict::enlarged);
    }
}

INSTANTIATE_TEST_SUITE_P(cases, ComposedCase,
                         ::testing::Combine(::testing::Values("c01_hydrogel_lower_temporal", "c02_sponge_upper_nasal", "c03_solid_encircling", "c04_no_explant",
                                                              "c05_hydrogel_growing"),
                                            ::testing::Values(Run{"as it is", {}}, Run{"mirrored", {true, 0.0, 0.0, 1}}, Run{"moved", {false, 1.0, 0.0, 1}},
                                                              Run{"moved the other way", {false, -1.0, 0.0, 1}}, Run{"noisier", {false, 0.0, 1.0, 1}},
                                                              Run{"mirrored, moved and noisier", {true, 1.0, 1.0, 7}})),
                         [](const auto& about) { return std::string(std::get<0>(about.param)).substr(0, 3) + "_" + std::to_string(about.index % 6); });

}  // namespace perisclera
