// SPDX-License-Identifier: Apache-2.0
// The same images of a hydrogel (source: the truth file beside the data) with different operations told: what the images say stays, the prior
// does not, and an operation in a year in which no hydrogel was used is told as a contradiction (used about 1981 to 1996: common practice, no source).
#include <algorithm>
#include <filesystem>
#include <string>

#include <gtest/gtest.h>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/pipeline/identify.h"
#include "perisclera/report/wording.h"
#include "tests/support/test_data.h"

namespace perisclera {

namespace {

using report::Material;

struct Told {
    report::ElementEntry element;
    std::vector<std::string> sentences;
};

Told identified(const PatientStudies& patient, const OperationRecord& record) {
    IdentifyOptions options;
    options.threads = 2;
    options.record = {record, record};
    const report::ReportModel model = identify(patient, options, {}).value();
    for (const Eye eye : both_eyes)
        if (const auto& elements = model.timepoints.back().eye(eye).elements; !elements.empty()) return {elements.front(), report::finding(model, eye).elements.front().sentences};
    throw std::runtime_error("no element was found");
}

bool tells_of_contradiction(const Told& told) {
    return std::any_of(told.sentences.begin(), told.sentences.end(), [](const std::string& s) { return s.find("contradict") != std::string::npos; });
}

}  // namespace

TEST(RecordedOperation, leaves_what_the_images_say_and_is_held_against_it) {
    const std::filesystem::path folder = test::shared_data() / "cases" / "c01_hydrogel_lower_temporal";
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    const auto patient = read_patient({folder}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    const Told nothing = identified(patient.value(), {}), early = identified(patient.value(), {1975, {}}), within = identified(patient.value(), {1988, {}}),
               late = identified(patient.value(), {2003, {}}), other_note = identified(patient.value(), {1988, MaterialClass::silicone_sponge});
    EXPECT_FALSE(nothing.element.material.record.has_value());
    ASSERT_EQ(nothing.element.material.label, Material::hydrogel);
    for (const Told* told : {&early, &within, &late, &other_note}) {
        const report::MaterialEntry &alone = nothing.element.material, &beside = told->element.material;
        EXPECT_EQ(beside.label, alone.label);
        ASSERT_EQ(beside.evidence.size(), alone.evidence.size());
        for (const Material m : report::all_materials) {
            EXPECT_EQ(beside.probabilities[m], alone.probabilities[m]);
            for (std::size_t k = 0; k < alone.evidence.size(); ++k) EXPECT_EQ(beside.evidence[k].log_likelihood[m], alone.evidence[k].log_likelihood[m]);
        }
        ASSERT_TRUE(beside.record.has_value());
    }
    for (const Told* told : {&early, &late}) {
        EXPECT_LT(told->element.material.record->prior[Material::hydrogel], within.element.material.record->prior[Material::hydrogel]);
        EXPECT_TRUE(told->element.material.record->year_contradicts);
        EXPECT_TRUE(tells_of_contradiction(*told));
    }
    EXPECT_FALSE(tells_of_contradiction(within));
    EXPECT_TRUE(other_note.element.material.record->material_contradicts);
    EXPECT_TRUE(tells_of_contradiction(other_note));
}

}  // namespace perisclera
