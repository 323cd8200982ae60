// SPDX-License-Identifier: Apache-2.0
// MR series whose headers do not tell what was weighted, as cleaned archives leave them: the images tell, and the result is that of the
// full headers. Truth: the roles that the provenance of the case states. Skipped where the data are absent.
#include <gtest/gtest.h>

#include "perisclera/assemble/load_patient.h"
#include "perisclera/pipeline/identify.h"
#include "tests/support/test_data.h"

namespace perisclera {

TEST(SilentHeaders, the_images_tell_t1_from_t2_and_nothing_else_changes) {
    if (!std::filesystem::exists(test::shared_data())) GTEST_SKIP() << "no folder " << test::shared_data();
    auto patient = read_patient({test::shared_data() / "cases" / "c01_hydrogel_lower_temporal"}, {std::nullopt, 2, {}});
    ASSERT_TRUE(patient.ok()) << one_line(patient.error());
    const report::ReportModel full = identify(patient.value(), {}, {}).value();
    for (Visit& visit : patient.value().visits)
        for (ImageSeries& series : visit.series) {
            if (series.description.modality != Modality::mr) continue;
            series.description.role = SeriesRole::unknown;
            series.description.repetition_time_ms = series.description.echo_time_ms = std::nullopt;
        }
    const report::ReportModel silent = identify(patient.value(), {}, {}).value();
    ASSERT_EQ(silent.timepoints.size(), full.timepoints.size());
    for (std::size_t t = 0; t < full.timepoints.size(); ++t) {
        ASSERT_EQ(silent.timepoints[t].series.size(), full.timepoints[t].series.size());
        for (std::size_t s = 0; s < full.timepoints[t].series.size(); ++s) {
            const report::SeriesEntry &told = silent.timepoints[t].series[s], &stated = full.timepoints[t].series[s];
            EXPECT_EQ(told.role, stated.role);
            EXPECT_TRUE(told.used);
            EXPECT_EQ(told.confidence == Confidence::low, told.modality == Modality::mr);
        }
        for (const Eye eye : both_eyes) {
            const report::EyeEntry &told = silent.timepoints[t].eye(eye), &stated = full.timepoints[t].eye(eye);
            EXPECT_EQ(told.explant.presence, stated.explant.presence);
            ASSERT_EQ(told.elements.size(), stated.elements.size());
            for (std::size_t e = 0; e < stated.elements.size(); ++e) EXPECT_EQ(told.elements[e].material.label, stated.elements[e].material.label);
        }
    }
}

}  // namespace perisclera
